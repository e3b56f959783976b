import { readFileSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import pg from 'pg'

/** Kinds of things that the schema language has no words for; they may stand in the migrations only. */
const beyondPrisma = new Set(['check', 'exclusion', 'special index', 'function', 'trigger', 'view', 'extension'])

/** One database from the migrations, one straight from schema.prisma: what Prisma can say must be equal in both. */
export async function migrations() {
  const { migrate, migrationsFolder, schemaFile } = await import('../../dist/src/ops/migrate.js')
  const { schemaDifference } = await import('../../dist/src/ops/schema-engine.js')
  const { embeddedDatabase } = await import('../../dist/src/ops/embedded-database.js')

  const schema = readFileSync(schemaFile, 'utf8')
  const last = readFileSync(join(migrationsFolder, 'schema-of-last-migration.prisma'), 'utf8')
  const missing = await schemaDifference(last, schema)
  if (missing) return [`schema.prisma has changed since the last migration; missing:\n${missing}`]

  const folder = `.test/migrations-${process.pid}`
  const database = await embeddedDatabase(folder, 'own')
  try {
    await migrate(database.url)
    const straight = await aDatabase(database.url, await schemaDifference(null, schema))
    return compare(await catalogOf(database.url), await catalogOf(straight))
  } finally {
    await database.stop()
    rmSync(folder, { recursive: true, force: true })
  }
}

async function aDatabase(url, script) {
  await withClient(url, client => client.query('create database straight'))
  const straight = new URL(url)
  straight.pathname = '/straight'
  await withClient(straight.href, client => client.query(script))
  return straight.href
}

function compare(migrated, straight) {
  const wanted = new Set(straight.map(keyOf))
  const there = new Set(migrated.map(keyOf))
  const extra = migrated.filter(thing => !wanted.has(keyOf(thing)))
  const beyond = extra.filter(({ kind }) => beyondPrisma.has(kind))
  const count = kind => beyond.filter(thing => thing.kind === kind).length
  console.log(`   beyond Prisma: ${[...beyondPrisma].map(kind => `${count(kind)} × ${kind}`).join(', ')}`)
  return [
    ...straight.filter(thing => !there.has(keyOf(thing))).map(thing => `not in the migrations: ${keyOf(thing)}`),
    ...extra.filter(({ kind }) => !beyondPrisma.has(kind)).map(thing => `not in schema.prisma: ${keyOf(thing)}`),
  ]
}

const keyOf = ({ kind, name, definition }) => `${kind} ${name}: ${definition}`

async function catalogOf(url) {
  return withClient(url, async client => (await client.query(catalog)).rows)
}

async function withClient(url, work) {
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  return work(client).finally(() => client.end())
}

const catalog = `
  with ours as (
    select c.oid, c.relname, c.relkind from pg_class c
    where c.relnamespace = 'public'::regnamespace and c.relname <> '_prisma_migrations'
  )
  select 'column' as kind, o.relname || '.' || a.attname as name,
         format_type(a.atttypid, a.atttypmod) || case when a.attnotnull then ' not null' else '' end
           || coalesce(' default ' || pg_get_expr(d.adbin, d.adrelid), '') as definition
  from ours o join pg_attribute a on a.attrelid = o.oid and a.attnum > 0 and not a.attisdropped
  left join pg_attrdef d on d.adrelid = o.oid and d.adnum = a.attnum
  where o.relkind = 'r'
  union all
  select case k.contype when 'c' then 'check' when 'x' then 'exclusion' else 'key' end, o.relname || '.' || k.conname,
         pg_get_constraintdef(k.oid)
  from ours o join pg_constraint k on k.conrelid = o.oid where k.contype <> 'n'
  union all
  select case when i.indpred is not null or i.indexprs is not null or pg_get_indexdef(i.indexrelid) ~ '_ops' then 'special index'
              when x.conindid is not null then 'exclusion' else 'index' end,
         o.relname, pg_get_indexdef(i.indexrelid)
  from ours o join pg_index i on i.indrelid = o.oid
  left join pg_constraint x on x.conindid = i.indexrelid and x.contype = 'x'
  union all
  select 'view', o.relname, pg_get_viewdef(o.oid) from ours o where o.relkind = 'v'
  union all
  select 'trigger', o.relname || '.' || t.tgname, pg_get_triggerdef(t.oid)
  from ours o join pg_trigger t on t.tgrelid = o.oid where not t.tgisinternal
  union all
  select 'function', p.proname, pg_get_function_identity_arguments(p.oid) from pg_proc p
  where p.pronamespace = 'public'::regnamespace
    and not exists (select 1 from pg_depend d where d.objid = p.oid and d.deptype = 'e')
  union all
  select 'extension', e.extname, '' from pg_extension e where e.extname <> 'plpgsql'
  order by 1, 2, 3`
