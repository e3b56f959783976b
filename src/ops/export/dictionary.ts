import { readFile } from 'node:fs/promises'
import { schemaFile } from '../migrate.ts'
import type { Column, ExportedTable } from './exported-tables.ts'

/** What the schema says of its tables and columns, by their names in the database. */
export type Meanings = {
  readonly tables: ReadonlyMap<string, string>
  readonly columns: ReadonlyMap<string, string>
}

/** Reads the comments that begin with three slashes, above a model or above or behind a field. */
export async function meaningsOfSchema(file = schemaFile): Promise<Meanings> {
  const tables = new Map<string, string>()
  const columns = new Map<string, string>()
  for (const { comment, name, body } of modelsIn(await readFile(file, 'utf8'))) {
    const table = /@@map\("([^"]+)"\)/.exec(body)?.[1] ?? name
    if (comment) tables.set(table, comment)
    for (const field of fieldsIn(body)) if (field.comment) columns.set(`${table}.${field.column}`, field.comment)
  }
  return { tables, columns }
}

const modelsIn = (schema: string) =>
  [...schema.matchAll(/((?:^\/\/\/.*\n)*)^model (\w+) \{\n([\s\S]*?)^\}/gm)].map(([, comment, name, body]) => ({
    comment: plain(comment!),
    name: name!,
    body: body!,
  }))

const fieldsIn = (body: string) =>
  [...body.matchAll(/((?:^ *\/\/\/.*\n)*)^ +(\w+) +\w.*$/gm)].map(([line, above, field]) => ({
    column: / @map\("([^"]+)"\)/.exec(line)?.[1] ?? field!,
    comment: plain(above || (/[^/](\/\/\/.*)$/.exec(line)?.[1] ?? '')),
  }))

const plain = (comment: string): string =>
  comment
    .split('\n')
    .map(line => line.replace(/^ *\/\/\/ ?/, '').trim())
    .filter(Boolean)
    .join(' ')

/** What columns mean that many tables have. */
const everywhere: Readonly<Record<string, string>> = {
  id: 'its identifier; it stays the same in every installation',
  version: 'raised by each correction; the first is 1',
  created_at: 'when it was written down',
  updated_at: 'when it was last written',
  at: 'when it happened',
  voided_at: 'when it was struck out; empty while it counts',
  void_reason: 'why it was struck out',
  property_id: 'the home',
  customer_id: 'the person',
  staff_id: 'the person of the company',
  note: 'a note in anyone’s words',
  position: 'its place among others, from 0',
  kind: 'of which kind it is',
  from_on: 'the first day; empty where it is not known',
  until_on: 'the last day; empty while it goes on or is not known',
  actor_kind: 'who did it: staff, app, homeowner, operator, system',
  actor_id: 'the identifier of who did it',
  xid: 'the transaction that wrote it; with seq it gives the order',
}

/** A column's meaning: what the schema says, what it means everywhere, what it refers to, or its name in words. */
export function meaningOf(meanings: Meanings, table: string, column: Column): string {
  const said = meanings.columns.get(`${table}.${column.name}`) ?? everywhere[column.name]
  if (said) return said
  if (/(^|_)edtf$/.test(column.name))
    return 'the same day as far as it is known, as EDTF (ISO 8601-2): 2011, 2009?, 2011-21'
  if (column.name.endsWith('sha256'))
    return `${wordsOf(column.name.replace(/_?sha256$/, ''))}: SHA-256 of a file in files/`
  if (column.refersTo) return `the ${wordsOf(column.name.replace(/_id$/, ''))}`
  return wordsOf(column.name)
}

const wordsOf = (name: string): string => name.replaceAll('_', ' ')

/** What a table is; its name in words where the schema says nothing. */
export const meaningOfTable = (meanings: Meanings, table: string): string =>
  meanings.tables.get(table) ?? wordsOf(table)

/** Types as they stand in the two kinds of files, in words. */
const types: Readonly<Record<string, string>> = {
  'timestamp(3) with time zone': 'instant (RFC 3339, UTC, milliseconds)',
  'timestamp(3) with time zone[]': 'list of instants',
  date: 'day (YYYY-MM-DD)',
  uuid: 'UUID',
  text: 'text',
  'text[]': 'list of texts',
  'integer[]': 'list of whole numbers; null is a gap',
  boolean: 'true or false',
  integer: 'whole number',
  bigint: 'whole number, as text in NDJSON',
  xid8: 'whole number, as text in NDJSON',
  'double precision': 'number',
  bytea: 'bytes, in hexadecimal',
  jsonb: 'JSON',
}

export const typeInWords = (type: string): string => types[type] ?? type

/** The dictionary's rows: of each table one for itself, then one for each column. */
export function* dictionaryRows(meanings: Meanings, tables: readonly ExportedTable[]): Generator<readonly string[]> {
  yield ['table', 'column', 'type', 'may be empty', 'refers to', 'meaning']
  for (const { name, columns } of tables) {
    yield [name, '', 'table', '', '', meaningOfTable(meanings, name)]
    for (const column of columns)
      yield [
        name,
        column.name,
        typeInWords(column.type),
        column.required ? 'no' : 'yes',
        column.refersTo ?? '',
        meaningOf(meanings, name, column),
      ]
  }
}
