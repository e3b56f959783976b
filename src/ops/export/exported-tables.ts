import type pg from 'pg'
import { isLeftOut } from './left-out.ts'

type Client = Pick<pg.ClientBase, 'query'>

export type Column = {
  readonly name: string
  /** As PostgreSQL names it: `uuid`, `timestamp(3) with time zone`, `text[]`. */
  readonly type: string
  readonly required: boolean
  /** Its place in the primary key, null when it is no part of it. */
  readonly keyPlace: number | null
  /** `table.column` that it names a record of. */
  readonly refersTo: string | null
}
export type ExportedTable = { readonly name: string; readonly columns: readonly Column[] }

const catalog = `
  select c.relname as name, json_agg(json_build_object(
      'name', a.attname, 'type', format_type(a.atttypid, a.atttypmod), 'required', a.attnotnull,
      'keyPlace', (select place from pg_index i, unnest(i.indkey::int2[]) with ordinality as k (attnum, place)
                   where i.indrelid = c.oid and i.indisprimary and k.attnum = a.attnum),
      'refersTo', (select min(format('%s.%s', t.relname, f.attname))
                   from pg_constraint r join pg_class t on t.oid = r.confrelid
                   join pg_attribute f on f.attrelid = r.confrelid and f.attnum = r.confkey[1]
                   where r.contype = 'f' and r.conrelid = c.oid and r.conkey = array[a.attnum])
    ) order by a.attnum) as columns
  from pg_class c join pg_attribute a on a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped
  where c.relkind in ('r', 'p') and c.relnamespace = 'public'::regnamespace and a.attgenerated = ''
    and c.relname <> '_prisma_migrations'
  group by c.relname order by c.relname`

/** Every table of the schema with its columns, from the database itself. */
export async function tablesOfSchema(client: Client): Promise<readonly ExportedTable[]> {
  const { rows } = await client.query<ExportedTable>(catalog)
  return rows
}

/** What an export holds: every table and column that is not named as left out. */
export const exportedTables = async (client: Client): Promise<readonly ExportedTable[]> =>
  (await tablesOfSchema(client))
    .filter(table => !isLeftOut(table.name))
    .map(({ name, columns }) => ({ name, columns: columns.filter(column => !isLeftOut(name, column.name)) }))

export type Counter = { readonly table: string; readonly column: string; readonly last: string; readonly used: boolean }

/** Where the numbers that the database gives out itself have come to. */
export async function countersOf(client: Client, tables: readonly ExportedTable[]): Promise<readonly Counter[]> {
  const { rows } = await client.query<Counter>(
    `select t.relname as table, a.attname as column, coalesce(s.last_value, s.start_value)::text as last,
            s.last_value is not null as used
     from pg_sequences s join pg_class q on q.relname = s.sequencename and q.relnamespace = 'public'::regnamespace
     join pg_depend d on d.objid = q.oid and d.classid = 'pg_class'::regclass and d.deptype in ('a', 'i')
     join pg_class t on t.oid = d.refobjid join pg_attribute a on a.attrelid = t.oid and a.attnum = d.refobjsubid
     where s.schemaname = 'public' and t.relname = any($1) order by 1, 2`,
    [tables.map(table => table.name)],
  )
  return rows
}
