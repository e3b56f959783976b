import type pg from 'pg'

type Client = Pick<pg.ClientBase, 'query'>

export type Table = { readonly schema: string; readonly name: string; readonly columns: readonly string[] }
export type Sequence = {
  readonly schema: string
  readonly name: string
  readonly last: string
  readonly called: boolean
}

export const quoted = (name: string): string => `"${name.replaceAll('"', '""')}"`
export const tableName = (table: { schema: string; name: string }): string =>
  `${quoted(table.schema)}.${quoted(table.name)}`

/** Bookkeeping of the two migrators: restoring makes it anew by migrating. */
const bookkeeping = `('_prisma_migrations', 'migrations')`
const ours = `('public', 'graphile_worker')`

/** All tables that hold something of ours, the job queue's included. */
export async function tablesOf(client: Client): Promise<Table[]> {
  const { rows } = await client.query<Table>(
    `select n.nspname as schema, c.relname as name,
            array_agg(a.attname::text order by a.attnum) filter (where a.attgenerated = '') as columns
     from pg_class c join pg_namespace n on n.oid = c.relnamespace
     join pg_attribute a on a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped
     where c.relkind = 'r' and n.nspname in ${ours} and c.relname not in ${bookkeeping}
     group by 1, 2 order by 1, 2`,
  )
  return rows
}

export async function sequencesOf(client: Client): Promise<Sequence[]> {
  const { rows } = await client.query<Sequence>(
    `select schemaname as schema, sequencename as name, coalesce(last_value, start_value)::text as last,
            last_value is not null as called
     from pg_sequences where schemaname in ${ours} order by 1, 2`,
  )
  return rows
}

/** The job queue's own migration level, null where it was never installed. */
export async function queueLevelOf(client: Client): Promise<number | null> {
  const there = await client.query<{ there: boolean }>(
    `select to_regclass('graphile_worker.migrations') is not null as there`,
  )
  if (!there.rows[0]?.there) return null
  const level = await client.query<{ level: number }>('select max(id)::int as level from graphile_worker.migrations')
  return level.rows[0]?.level ?? null
}

export type Definition = { readonly drop: string; readonly create: string }

/** Indexes and references that may be taken away while rows are loaded; each with the statements for both ways. */
export async function definitionsAround(client: Client): Promise<{ indexes: Definition[]; references: Definition[] }> {
  const indexes = await client.query<Definition>(
    `select format('drop index %I.%I', n.nspname, c.relname) as drop, pg_get_indexdef(i.indexrelid) as create
     from pg_index i join pg_class c on c.oid = i.indexrelid join pg_namespace n on n.oid = c.relnamespace
     where n.nspname in ${ours} and not exists (select 1 from pg_constraint k where k.conindid = i.indexrelid)`,
  )
  const references = await client.query<Definition>(
    `select format('alter table %s drop constraint %I', k.conrelid::regclass, k.conname) as drop,
            format('alter table %s add constraint %I %s', k.conrelid::regclass, k.conname, pg_get_constraintdef(k.oid))
              as create
     from pg_constraint k join pg_namespace n on n.oid = k.connamespace
     where k.contype = 'f' and n.nspname in ${ours}`,
  )
  return { indexes: indexes.rows, references: references.rows }
}
