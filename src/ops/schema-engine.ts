import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { PrismaPg } from '@prisma/adapter-pg'
import {
  bindMigrationAwareSqlAdapterFactory,
  type SqlMigrationAwareDriverAdapterFactory,
} from '@prisma/driver-adapter-utils'
import * as binding from '@prisma/schema-engine-wasm/schema_engine_bg'
import type pg from 'pg'

/**
 * Prisma's own schema engine in its WebAssembly build: an internal, pinned API of Prisma, so no other file imports it.
 * It keeps Prisma's folder layout and its table `_prisma_migrations`, and needs no downloaded binary.
 */
export type SchemaEngine = Pick<binding.SchemaEngine, 'applyMigrations' | 'diff'>

/** Runs a migration's whole script. */
export type RunScript = (script: string) => Promise<void>

export const noFilters = { externalTables: [], externalEnums: [] }

type Instance = { readonly exports: { __wbindgen_start(): void } }
type Wasm = { instantiate(bytes: Uint8Array, imports: object): Promise<{ instance: Instance }> }

let loaded: Promise<void> | undefined

async function load(): Promise<void> {
  const script = createRequire(import.meta.url).resolve('@prisma/schema-engine-wasm/schema_engine_bg')
  const bytes = await readFile(script.replace(/js$/, 'wasm'))
  // Neither Node's nor the language's type library declares WebAssembly without the browser's.
  const { WebAssembly } = globalThis as unknown as { WebAssembly: Wasm }
  const { instance } = await WebAssembly.instantiate(bytes, { './schema_engine_bg.js': binding })
  ;(binding as unknown as { __wbg_set_wasm(exports: object): void }).__wbg_set_wasm(instance.exports)
  instance.exports.__wbindgen_start()
}

async function engineOn(factory: SqlMigrationAwareDriverAdapterFactory, schema: string): Promise<SchemaEngine> {
  loaded ??= load()
  await loaded
  const adapters = bindMigrationAwareSqlAdapterFactory(factory)
  return binding.SchemaEngine.new({ datamodels: [['schema.prisma', schema]] }, () => {}, adapters)
}

/** An engine for one schema text that speaks to the database through `pool`. */
export function schemaEngine(pool: pg.Pool, schema: string, runScript: RunScript): Promise<SchemaEngine> {
  const factory = new PrismaPg(pool)
  const connect = factory.connect.bind(factory)
  factory.connect = async () => {
    const adapter = await connect()
    // Prisma's adapter cuts a script at every semicolon, which tears function bodies apart.
    adapter.executeScript = runScript
    return adapter
  }
  return engineOn(factory, schema)
}

/** The SQL that takes a database from schema `from` (null: nothing) to schema `to`; '' when they do not differ. */
export async function schemaDifference(from: string | null, to: string): Promise<string> {
  const engine = await engineOn(offline, to)
  const files = (content: string) => [{ path: 'schema.prisma', content }]
  const { stdout } = await engine.diff({
    from: from === null ? { tag: 'empty' } : { tag: 'schemaDatamodel', files: files(from) },
    to: { tag: 'schemaDatamodel', files: files(to) },
    script: true,
    exitCode: null,
    filters: noFilters,
  })
  const script = stdout ?? ''
  return script.trim() === '-- This is an empty migration.' ? '' : script
}

/** The engine wants a connection even to compare two texts; this one answers that there is nothing. */
const offline: SqlMigrationAwareDriverAdapterFactory = {
  provider: 'postgres',
  adapterName: 'offline',
  connect: async () => ({
    provider: 'postgres',
    adapterName: 'offline',
    queryRaw: async () => ({ columnNames: [], columnTypes: [], rows: [] }),
    executeRaw: async () => 0,
    executeScript: async () => {},
    startTransaction: () => Promise.reject(new Error('There is no database here.')),
    getConnectionInfo: () => ({ schemaName: 'public', supportsRelationJoins: true }),
    dispose: async () => {},
  }),
  connectToShadowDb: () => Promise.reject(new Error('There is no database here.')),
}
