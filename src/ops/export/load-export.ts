import { createHash } from 'node:crypto'
import type { Writable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import type pg from 'pg'
import { from as copyFrom } from 'pg-copy-streams'
import { type Definition, definitionsAround, quoted } from '../database-tables.ts'
import { type DescribedTable, linesPart } from './description.ts'
import { type ExportedTable, exportedTables, tablesOfSchema } from './exported-tables.ts'
import { isLeftOut, kept } from './left-out.ts'
import { hashIn, type OpenedExport, UnfitExport } from './open-export.ts'
import { asLines, insertKept, insertLines, lineColumns, textSettings } from './row-text.ts'
import { linesFrom } from './table-parts.ts'

type Say = (line: string) => void

/** What the program and its migrations write by themselves before anybody has entered anything; it gives way. */
const writtenByProgram = ['policy', 'kit_limit', 'audit', 'fact_revision']

/** Refuses a database that somebody has begun to use. */
export async function refuseFull(client: pg.ClientBase): Promise<void> {
  for (const { name } of await tablesOfSchema(client)) {
    if (isLeftOut(name) || writtenByProgram.includes(name)) continue
    const { rowCount } = await client.query(`select 1 from public.${quoted(name)} limit 1`)
    if (rowCount)
      throw new UnfitExport(
        `The installation is not empty: ${name} has rows. Nothing was changed. Read the export into a new one: an empty ` +
          'database (DATABASE_URL), or without one a new DATA_DIR; people are added afterwards.',
      )
  }
}

/** Loads every record in the transaction of the client, and compares each table with what was exported. */
export async function loadExport(client: pg.ClientBase, opened: OpenedExport, say: Say): Promise<void> {
  await client.query(textSettings)
  const schema = await tablesOfSchema(client)
  const all = schema.map(({ name }) => `public.${quoted(name)}`).join(', ')
  await client.query(`lock table ${all} in access exclusive mode`)
  await refuseFull(client)
  const tables = loadable(await exportedTables(client), opened.description.tables)
  await client.query(`truncate ${all} restart identity`)
  const { references, indexes } = await definitionsOfSchema(client)
  await runAll(client, [...references, ...indexes], 'drop')
  await triggers(client, tables, 'disable')
  await client.query(`create temp table incoming (n bigint generated always as identity, line text not null) on commit drop;
    create temp table incoming_file (hash bytea not null, bytes bytea not null) on commit drop`)
  for (const table of tables) {
    say(`Reading in ${table.name}`)
    await loadTable(client, opened, table)
    await refuseUnequal(client, opened, table)
  }
  for (const { table, column, last, used } of opened.description.counters)
    await client.query('select setval(pg_get_serial_sequence($1, $2), $3, $4)', [
      `public.${quoted(table)}`,
      column,
      last,
      used,
    ])
  say('Building indexes and checking references')
  await runAll(client, [...indexes, ...references], 'create')
  await triggers(client, tables, 'enable')
}

/** The tables of the export as the database has them; both must know the same of each. */
function loadable(here: readonly ExportedTable[], described: readonly DescribedTable[]): readonly ExportedTable[] {
  for (const { name } of described)
    if (!here.some(table => table.name === name)) throw unfit(`the table ${name} is not known here`)
  for (const table of here) {
    const there = described.find(({ name }) => name === table.name)
    if (!there) throw unfit(`the table ${table.name} is missing from it`)
    const names = table.columns.map(({ name }) => name)
    if (names.join() !== there.columns.join()) throw unfit(`the table ${table.name} has other columns`)
  }
  return here
}

const unfit = (what: string): UnfitExport =>
  new UnfitExport(`The export does not fit the schema it says it is of: ${what}. Nothing was changed.`)

async function loadTable(client: pg.ClientBase, opened: OpenedExport, table: ExportedTable): Promise<void> {
  await client.query('truncate incoming restart identity')
  await copyInto(client, `incoming (line) from stdin ${asLines}`, await opened.read(linesPart(table.name)))
  if (table.name === kept.table) return loadKept(client, opened, table)
  await client.query(insertLines(table, lineColumns(table)))
}

const filesAtOnce = 64 << 20

/** Kept files, each streamed into the database by itself and put beside its line some MB at a time. */
async function loadKept(client: pg.ClientBase, opened: OpenedExport, table: ExportedTable): Promise<void> {
  await client.query(`create temp table incoming_line on commit drop as
      select decode(line::json ->> '${kept.hash}', 'hex') as hash, line from incoming;
    create unique index on incoming_line (hash)`)
  let waiting = 0
  const settle = async () => {
    await client.query(insertKept(table))
    await client.query('truncate incoming_file')
    waiting = 0
  }
  for (const path of opened.files) {
    waiting += await copyFile(client, hashIn(path), await opened.read(path))
    if (waiting >= filesAtOnce) await settle()
  }
  await settle()
}

async function copyFile(client: pg.ClientBase, hash: string, bytes: AsyncIterable<Buffer>): Promise<number> {
  let size = 0
  async function* row() {
    yield Buffer.from(`\\\\x${hash}\t\\\\x`)
    for await (const piece of bytes) {
      size += piece.length
      yield Buffer.from(piece.toString('hex'))
    }
    yield Buffer.from('\n')
  }
  await copyInto(client, 'incoming_file (hash, bytes) from stdin', row())
  return size
}

const copyInto = (client: pg.ClientBase, target: string, bytes: AsyncIterable<Buffer>): Promise<void> =>
  pipeline(bytes, client.query(copyFrom(`copy ${target}`)) as Writable)

/** What is in the table now, written as an export would, must be what was read. */
async function refuseUnequal(client: pg.ClientBase, opened: OpenedExport, table: ExportedTable): Promise<void> {
  const hash = createHash('sha256')
  for await (const piece of linesFrom(client, table)) hash.update(piece)
  if (hash.digest('hex') !== opened.sums.get(linesPart(table.name)))
    throw new UnfitExport(`The table ${table.name} did not come out as it was exported. Nothing was kept.`)
}

/** Those of our own schema: the queue's are not touched. */
async function definitionsOfSchema(client: pg.ClientBase) {
  const { indexes, references } = await definitionsAround(client)
  const ours = ({ drop }: Definition) => !drop.includes('graphile_worker.')
  return { indexes: indexes.filter(ours), references: references.filter(ours) }
}

async function runAll(client: pg.ClientBase, definitions: readonly Definition[], way: keyof Definition): Promise<void> {
  for (const definition of definitions) await client.query(definition[way])
}

const triggers = (client: pg.ClientBase, tables: readonly ExportedTable[], way: 'enable' | 'disable') =>
  client.query(tables.map(({ name }) => `alter table public.${quoted(name)} ${way} trigger user`).join(';'))
