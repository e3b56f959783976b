import { quoted } from '../database-tables.ts'
import type { Column, ExportedTable } from './exported-tables.ts'
import { kept } from './left-out.ts'

const literal = (text: string): string => `'${text.replaceAll("'", "''")}'`

/** JSON lets no control character through, so that these two never stand in a line and COPY's CSV gives it as it is. */
export const asLines = `(format csv, quote e'\\x01', delimiter e'\\x02', null e'\\x03')`

/** Settings under which equal records are written as equal text, whatever the database prefers. */
export const textSettings = `set local synchronize_seqscans = off; set local timezone = 'UTC'; set local datestyle = 'ISO';
  set local extra_float_digits = 1; set local bytea_output = 'hex'; set local statement_timeout = 0;
  set local idle_in_transaction_session_timeout = 0`

type Way = 'bare' | 'instant' | 'quoted' | 'text' | 'bytes' | 'json' | 'list' | 'instants'

/** How a type is written. A type that is not here stops the export: nothing is written in a way nobody thought of. */
const ways: Readonly<Record<string, Way>> = {
  boolean: 'bare',
  smallint: 'bare',
  integer: 'bare',
  'double precision': 'bare',
  bigint: 'quoted',
  numeric: 'quoted',
  uuid: 'quoted',
  date: 'quoted',
  xid8: 'quoted',
  text: 'text',
  'timestamp(3) with time zone': 'instant',
  bytea: 'bytes',
  jsonb: 'json',
  'text[]': 'list',
  'integer[]': 'list',
  'uuid[]': 'list',
  'timestamp(3) with time zone[]': 'instants',
}

function wayOf({ name, type }: Column): Way {
  const way = ways[type]
  if (!way) throw new Error(`The export does not know how to write the column ${name} of type ${type}.`)
  return way
}

const instant = (value: string): string => `to_char(${value}, 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"')`
const listOf = (value: string, gather: string): string =>
  `(select ${gather} from unnest(${value}) with ordinality e (e, n))`

/** A column as JSON. Nothing (null) stays nothing, so that the line leaves it out. */
function jsonOf(column: Column): string {
  const value = quoted(column.name)
  switch (wayOf(column)) {
    case 'bare':
      return `to_json(${value})::text`
    case 'quoted':
      return `'"' || ${value}::text || '"'`
    case 'text':
    case 'list':
      return `to_json(${value})::text`
    case 'instant':
      return `'"' || ${instant(value)} || '"'`
    case 'bytes':
      return `'"' || encode(${value}, 'hex') || '"'`
    case 'json':
      return `${value}::text`
    case 'instants':
      return `case when ${value} is not null then ${listOf(value, `coalesce(json_agg(${instant('e')} order by n), '[]')::text`)} end`
  }
}

/** A column as a person reads it in a cell. */
function cellOf(column: Column): string {
  const value = quoted(column.name)
  switch (wayOf(column)) {
    case 'instant':
      return instant(value)
    case 'bytes':
      return `encode(${value}, 'hex')`
    case 'list':
      return `array_to_string(${value}, '; ', '')`
    case 'instants':
      return listOf(value, `string_agg(${instant('e')}, '; ' order by n)`)
    default:
      return `${value}::text`
  }
}

/** Back from a line's JSON `j` to the column. */
function columnFrom(column: Column): string {
  const name = literal(column.name)
  const type = column.type
  switch (wayOf(column)) {
    case 'bytes':
      return `decode(j ->> ${name}, 'hex')`
    case 'json':
      return `(j -> ${name})::jsonb`
    case 'list':
    case 'instants':
      return `case when j -> ${name} is not null then coalesce((select array_agg(e order by n)
        from json_array_elements_text(j -> ${name}) with ordinality e (e, n)), '{}')::${type} end`
    default:
      return `(j ->> ${name})::${type}`
  }
}

const isKeptBytes = (table: ExportedTable, column: Column): boolean =>
  table.name === kept.table && column.name === kept.bytes

/** The columns that stand in a table's lines: all but the bytes that are files of their own. */
export const lineColumns = (table: ExportedTable): readonly Column[] =>
  table.columns.filter(column => !isKeptBytes(table, column))

/** Rows in the order of their key, the same on every server. */
function ordered(table: ExportedTable): string {
  const key = table.columns.filter(column => column.keyPlace !== null).sort((a, b) => a.keyPlace! - b.keyPlace!)
  if (key.length === 0) throw new Error(`The table ${table.name} has no primary key to write its rows in the order of.`)
  const by = key.map(({ name, type }) => `${quoted(name)}${type === 'text' ? ' collate "C"' : ''}`)
  return `from public.${quoted(table.name)} order by ${by.join(', ')}`
}

/** A select of each row as one line of JSON. */
export const linesOf = (table: ExportedTable): string =>
  `select '{' || concat_ws(',', ${lineColumns(table)
    .map(column => `${literal(`"${column.name}":`)} || ${jsonOf(column)}`)
    .join(', ')}) || '}' ${ordered(table)}`

/** A select of each row as a JSON list of its cells. */
export const cellsOf = (table: ExportedTable): string =>
  `select json_build_array(${table.columns
    .map(column => (isKeptBytes(table, column) ? keptPath : cellOf(column)))
    .join(', ')})::text ${ordered(table)}`

/** Puts the lines that wait in `incoming` into a table. */
export const insertLines = (table: ExportedTable, columns: readonly Column[]): string =>
  `insert into public.${quoted(table.name)} (${columns.map(({ name }) => quoted(name)).join(', ')})
   select ${columns.map(columnFrom).join(', ')} from (select n, line::json as j from incoming offset 0) lines order by n`

/** The same of kept files, whose bytes wait in `incoming_file`. */
export const insertKept = (table: ExportedTable): string => {
  const columns = lineColumns(table)
  return `insert into public.${quoted(table.name)} (${columns.map(({ name }) => quoted(name)).join(', ')}, ${kept.bytes})
   select ${columns.map(columnFrom).join(', ')}, f.bytes from incoming_file f
   join incoming_line l on l.hash = f.hash, lateral (select l.line::json as j offset 0) lines`
}

/** Where in the archive the bytes of a kept file are; its ending says what it is to whoever opens it. */
export const keptPath = `'files/' || encode(${kept.hash}, 'hex') || case media_type when 'image/jpeg' then '.jpg'
  when 'image/png' then '.png' when 'image/webp' then '.webp' when 'text/csv' then '.csv' when 'text/plain' then '.txt'
  when 'application/json' then '.json' when 'application/pdf' then '.pdf'
  when 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet' then '.xlsx' else '' end`
