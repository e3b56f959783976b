import { stringify } from 'csv-stringify'
import type pg from 'pg'
import { to as copyTo } from 'pg-copy-streams'
import type { ExportedTable } from './exported-tables.ts'
import { kept } from './left-out.ts'
import { asLines, cellsOf, keptPath, linesOf } from './row-text.ts'

/** A table's rows as they stand in its NDJSON. */
export const linesFrom = (client: pg.ClientBase, table: ExportedTable): AsyncIterable<Buffer> =>
  copied(client, linesOf(table))

function copied(client: pg.ClientBase, select: string, format = asLines): AsyncIterable<Buffer> {
  const rows = client.query(copyTo(`copy (${select}) to stdout ${format}`))
  // Whoever reads is told anyway; when nobody does any more, a connection that ends must not end the process.
  rows.on('error', () => {})
  return rows
}

const plainNumber = /^-\d+(\.\d+)?$/

/**
 * The same as CSV (RFC 4180, UTF-8 with byte order mark). A cell that a spreadsheet would take for a formula gets an
 * apostrophe before it; a number below nothing is none.
 */
export function cellsFrom(client: pg.ClientBase, table: ExportedTable): AsyncIterable<Buffer> {
  const csv = stringify({
    bom: true,
    header: true,
    columns: table.columns.map(({ name }) => ({ key: name, header: name })),
    record_delimiter: 'windows',
    escape_formulas: true,
    cast: { string: value => (plainNumber.test(value) ? { value, escape_formulas: false } : value) },
  })
  return fed(csv, rowsOf(copied(client, cellsOf(table))))
}

/** What comes out of a transform while rows are put in. */
async function* fed(csv: ReturnType<typeof stringify>, rows: AsyncIterable<unknown[]>): AsyncGenerator<Buffer> {
  const putIn = (async () => {
    for await (const row of rows) if (!csv.write(row)) await new Promise(resolve => csv.once('drain', resolve))
    csv.end()
  })()
  putIn.catch(error => csv.destroy(error))
  try {
    for await (const piece of csv) yield piece as Buffer
  } finally {
    csv.destroy()
  }
  await putIn
}

async function* rowsOf(bytes: AsyncIterable<Buffer>): AsyncGenerator<unknown[]> {
  for await (const line of linesIn(bytes)) yield JSON.parse(line.toString('utf8')) as unknown[]
}

const lineEnd = 0x0a

/** The lines of a stream of bytes, each without its end. */
export async function* linesIn(bytes: AsyncIterable<Buffer>): AsyncGenerator<Buffer> {
  let begun: Buffer[] = []
  for await (const piece of bytes) {
    let from = 0
    for (let end = piece.indexOf(lineEnd); end >= 0; end = piece.indexOf(lineEnd, from)) {
      yield Buffer.concat([...begun, piece.subarray(from, end)])
      begun = []
      from = end + 1
    }
    if (from < piece.length) begun.push(piece.subarray(from))
  }
  if (begun.length > 0) yield Buffer.concat(begun)
}

export type KeptFile = { readonly hash: string; readonly path: string; readonly size: number }

export async function keptFiles(client: pg.ClientBase): Promise<readonly KeptFile[]> {
  const { rows } = await client.query<KeptFile>(
    `select encode(${kept.hash}, 'hex') as hash, ${keptPath} as path, octet_length(${kept.bytes}) as size
     from public.${kept.table} order by ${kept.hash}`,
  )
  return rows
}

/** What COPY's binary format sends before the one field of the one row: signature, flags, count of fields, length. */
const beforeField = 11 + 4 + 4 + 2 + 4

/** The bytes of a kept file as the connection brings them, never as text. */
export async function* bytesOfKept(client: pg.ClientBase, file: KeptFile): AsyncGenerator<Buffer> {
  const select = `select ${kept.bytes} from public.${kept.table} where ${kept.hash} = decode('${file.hash}', 'hex')`
  const end = beforeField + file.size
  let at = 0
  for await (const piece of copied(client, select, '(format binary)')) {
    const [from, to] = [Math.max(0, beforeField - at), Math.min(piece.length, end - at)]
    if (from < to) yield piece.subarray(from, to)
    at += piece.length
  }
}
