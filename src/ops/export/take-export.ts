import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import type { Writable } from 'node:stream'
import { stringify } from 'csv-stringify/sync'
import pg from 'pg'
import { migrationLock, migrationsApplied } from '../migrate.ts'
import { programFolder } from '../program-files.ts'
import { cellsPart, type Description, exportFormat, linesPart, manifestName } from './description.ts'
import { dictionaryRows, meaningsOfSchema } from './dictionary.ts'
import { countersOf, type ExportedTable, exportedTables } from './exported-tables.ts'
import { leftOutBeside, leftOutColumns, leftOutTables } from './left-out.ts'
import { readmeText } from './readme-text.ts'
import { textSettings } from './row-text.ts'
import { bytesOfKept, cellsFrom, keptFiles, linesFrom } from './table-parts.ts'
import { zipInto } from './zip-parts.ts'

type Options = {
  /** Epoch ms. */
  readonly now: number
  /** What must stand wherever results are shown. */
  readonly caution: string
}

/** The state of one instant, held until it is written or given up. */
export type Export = { writeInto(sink: Writable): Promise<Description>; giveUp(): Promise<void> }

/**
 * Takes hold of every record as of now. Writing it sends one table after another from the database through a zip archive
 * into the sink, at the sink's pace; when either end breaks off, the other is ended too.
 */
export async function takeExport(url: string, options: Options): Promise<Export> {
  const client = new pg.Client({ connectionString: url, application_name: 'underslab export' })
  client.on('error', () => {})
  await client.connect()
  const giveUp = () => client.end()
  try {
    // A migration waits until the export is done, and the other way round.
    await client.query('select pg_advisory_lock_shared($1)', [migrationLock])
    await client.query('begin isolation level repeatable read read only')
    await client.query(textSettings)
    // The first statement after this would set the instant; it is now.
    const { rows } = await client.query<{ xmax: string }>(
      'select pg_snapshot_xmax(pg_current_snapshot())::text as xmax',
    )
    const transaction = rows[0]!.xmax
    return { writeInto: sink => writeAll(client, sink, transaction, options).finally(giveUp), giveUp }
  } catch (error) {
    await giveUp()
    throw error
  }
}

async function writeAll(
  client: pg.Client,
  sink: Writable,
  transaction: string,
  { now, caution }: Options,
): Promise<Description> {
  const zip = zipInto(sink, new Date(now))
  try {
    const tables = await exportedTables(client)
    const meanings = await meaningsOfSchema()
    const described: Description['tables'] = []
    for (const table of tables) {
      const rows = counted(linesFrom(client, table))
      await zip.add(linesPart(table.name), rows.content)
      await zip.add(cellsPart(table.name), cellsFrom(client, table))
      described.push({ name: table.name, rows: rows.count(), columns: table.columns.map(({ name }) => name) })
    }
    const files = await keptFiles(client)
    for (const file of files)
      await zip.add(file.path, bytesOfKept(client, file), !/\.(jpg|png|webp|xlsx)$/.test(file.path))
    const description: Description = {
      format: exportFormat,
      version: await versionOfProgram(),
      takenAt: new Date(now).toISOString(),
      migrations: [...(await migrationsApplied(client))],
      transaction,
      tables: described,
      files: { count: files.length, bytes: files.reduce((total, { size }) => total + size, 0) },
      // After the rows: a counter does not go back, so it is never behind them.
      counters: [...(await countersOf(client, tables))],
      leftOut: leftOut(),
    }
    await zip.add('dictionary.csv', [Buffer.from(dictionaryOf(meanings, tables))])
    await zip.add('README.txt', [Buffer.from(readmeText(description, meanings, caution))])
    await zip.add(manifestName, [Buffer.from(`${JSON.stringify(description, null, 2)}\n`)])
    await zip.end()
    return description
  } catch (error) {
    zip.fail(error instanceof Error ? error : new Error(String(error)))
    throw error
  }
}

/** Lets lines pass and counts them. */
function counted(bytes: AsyncIterable<Buffer>) {
  let lines = 0
  async function* passing() {
    for await (const piece of bytes) {
      for (let at = piece.indexOf(0x0a); at >= 0; at = piece.indexOf(0x0a, at + 1)) lines += 1
      yield piece
    }
  }
  return { content: passing(), count: () => lines }
}

const leftOut = (): Description['leftOut'] =>
  Object.entries({ ...leftOutTables, ...leftOutColumns, ...leftOutBeside }).map(([what, said]) => ({ what, ...said }))

const dictionaryOf = (
  meanings: Awaited<ReturnType<typeof meaningsOfSchema>>,
  tables: readonly ExportedTable[],
): string =>
  stringify(
    [...dictionaryRows(meanings, tables)].map(row => [...row]),
    { bom: true, record_delimiter: 'windows' },
  )

/** As `package.json` says. */
export async function versionOfProgram(): Promise<string> {
  const { version } = JSON.parse(await readFile(join(programFolder, 'package.json'), 'utf8')) as { version: string }
  return version
}
