import { createHash } from 'node:crypto'
import { open, rename, rm } from 'node:fs/promises'
import { dirname } from 'node:path'
import { createGzip } from 'node:zlib'
import pg from 'pg'
import { to as copyTo } from 'pg-copy-streams'
import { type ArchivedTable, fingerprintOf, keptUnder, type Manifest } from './archive.ts'
import { queueLevelOf, quoted, sequencesOf, type Table, tableName, tablesOf } from './database-tables.ts'
import { migrationLock, migrationsApplied } from './migrate.ts'
import { tarEnd, tarEntry } from './tar.ts'

/** Secrets by name, of which the archive keeps fingerprints. */
export type Keys = { readonly [name: string]: string }

type Write = (bytes: Buffer) => Promise<void>

/** Settings under which a table's text is the same here and where it was restored. */
export const copySettings = `set local synchronize_seqscans = off; set local timezone = 'UTC';
  set local datestyle = 'ISO'; set local statement_timeout = 0; set local idle_in_transaction_session_timeout = 0`

const pieceSize = 4 << 20

/**
 * Writes every table as of one instant into one tar file, readable by hand; compressed when the name ends in `.gz`.
 * The file appears under its name only when it is whole and on the disk.
 * @param now epoch ms
 */
export async function writeBackup(url: string, file: string, keys: Keys, now: number): Promise<Manifest> {
  const unfinished = `${file}.unfinished`
  const client = new pg.Client({ connectionString: url, application_name: 'underslab backup' })
  client.on('error', () => {})
  await client.connect()
  try {
    const manifest = await intoFile(unfinished, file.endsWith('.gz'), write => copyAll(client, write, keys, now))
    await rename(unfinished, file)
    await syncFolder(dirname(file))
    return manifest
  } catch (error) {
    await rm(unfinished, { force: true })
    throw error
  } finally {
    await client.end()
  }
}

async function copyAll(client: pg.Client, write: Write, keys: Keys, now: number): Promise<Manifest> {
  // A migration waits until the backup is done, and the other way round.
  await client.query('select pg_advisory_lock_shared($1)', [migrationLock])
  await client.query('begin isolation level repeatable read read only')
  await client.query(copySettings)
  const seconds = Math.floor(now / 1000)
  const transaction = await client.query<{ xmax: string }>(
    'select pg_snapshot_xmax(pg_current_snapshot())::text as xmax',
  )
  const manifest: Manifest = {
    format: 1,
    takenAt: new Date(now).toISOString(),
    migrations: [...(await migrationsApplied(client))],
    queueLevel: await queueLevelOf(client),
    transaction: transaction.rows[0]!.xmax,
    keys: Object.fromEntries(Object.entries(keys).map(([name, key]) => [name, fingerprintOf(key)])),
    tables: [],
    sequences: [],
  }
  for (const table of await tablesOf(client)) manifest.tables.push(await copyTable(client, table, write, seconds))
  // After the rows: a sequence does not go back, so it is never behind them.
  manifest.sequences.push(...(await sequencesOf(client)))
  await client.query('commit')
  await write(tarEntry('manifest.json', Buffer.from(JSON.stringify(manifest, null, 2)), seconds))
  await write(tarEnd)
  return manifest
}

async function copyTable(client: pg.Client, table: Table, write: Write, seconds: number): Promise<ArchivedTable> {
  let piece = 0
  const copied = await copyOut(client, table, async content => {
    piece += 1
    await write(tarEntry(`${keptUnder(table)}${String(piece).padStart(6, '0')}`, content, seconds))
  })
  return { ...table, columns: [...table.columns], ...copied }
}

/** A table's rows as COPY's text, in pieces of some MB. Gives their number and the hash of the whole. */
export async function copyOut(
  client: pg.Client,
  table: Table,
  take: (piece: Buffer) => Promise<void>,
): Promise<{ rows: number; sha256: string }> {
  const hash = createHash('sha256')
  const columns = table.columns.map(quoted).join(', ')
  const rows = client.query(copyTo(`copy ${tableName(table)} (${columns}) to stdout`))
  let kept: Buffer[] = []
  let length = 0
  const flush = async () => {
    const piece = Buffer.concat(kept)
    kept = []
    length = 0
    hash.update(piece)
    await take(piece)
  }
  for await (const chunk of rows as AsyncIterable<Buffer>) {
    kept.push(chunk)
    length += chunk.length
    if (length >= pieceSize) await flush()
  }
  if (length > 0) await flush()
  return { rows: rows.rowCount, sha256: hash.digest('hex') }
}

async function intoFile<T>(path: string, compressed: boolean, work: (write: Write) => Promise<T>): Promise<T> {
  const handle = await open(path, 'w', 0o600)
  try {
    const writing = compressed ? compressedInto(handle) : { write: plainInto(handle), finish: async () => {} }
    const result = await work(writing.write)
    await writing.finish()
    await handle.sync()
    return result
  } finally {
    await handle.close()
  }
}

type Handle = Awaited<ReturnType<typeof open>>

const plainInto =
  (handle: Handle): Write =>
  async bytes => {
    await handle.writeFile(bytes)
  }

function compressedInto(handle: Handle): { write: Write; finish: () => Promise<void> } {
  const zip = createGzip({ level: 1 })
  const done = (async () => {
    for await (const bytes of zip) await handle.writeFile(bytes as Buffer)
  })()
  // Told again by finish(); until then a full disk must not end the process.
  done.catch(error => zip.destroy(error))
  return {
    write: bytes => new Promise((resolve, reject) => zip.write(bytes, error => (error ? reject(error) : resolve()))),
    async finish() {
      zip.end()
      await done
    },
  }
}

/** The name is on the disk only when its folder is. */
async function syncFolder(folder: string): Promise<void> {
  const handle = await open(folder, 'r')
  await handle.sync().finally(() => handle.close())
}
