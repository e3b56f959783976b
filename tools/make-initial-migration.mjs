// Writes the first migration anew from prisma/schema.prisma, and beside it a copy of the schema text it was made from.
// Only until the first release: from then on a change of the schema is a migration of its own (tools/make-migration.mjs).
import { mkdir, readFile, writeFile } from 'node:fs/promises'
import { tsImport } from 'tsx/esm/api'

const { schemaDifference } = await tsImport('../src/ops/schema-engine.ts', import.meta.url)
const { migrationsFolder, schemaFile } = await tsImport('../src/ops/migrate.ts', import.meta.url)

const folder = `${migrationsFolder}/20261125000000_initial`
const schema = await readFile(schemaFile, 'utf8')
const script = await schemaDifference(null, schema)

await mkdir(folder, { recursive: true })
await writeFile(`${folder}/migration.sql`, script)
await writeFile(`${migrationsFolder}/migration_lock.toml`, 'provider = "postgresql"\n')
await writeFile(`${migrationsFolder}/schema-of-last-migration.prisma`, schema)
console.log(`prisma/migrations/20261125000000_initial/migration.sql: ${script.split('\n').length} lines`)
