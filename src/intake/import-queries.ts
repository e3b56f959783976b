import { seen } from '../platform/auth/seen.ts'
import { at, type Db, sql, type Tx } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import { notFound, stale } from '../platform/http/problem.ts'
import type { KeptLook } from './homes-table/kept-look.ts'
import type { ImportBatch, ImportKind, ImportSummary, KeptReading } from './import-rows.ts'

type Who = Pick<Act, 'actor' | 'now'>

const beforeReading = `b.id, b.kind, b.state, b.file_sha256 as "fileSha256", b.file_name as "fileName", f.size`
const afterReading = `b.summary, b.property_id as "propertyId", b.test_id as "testId", b.actor_kind as "actorKind",
  b.actor_id as "actorId", b.version, b.created_at as "createdAt", b.committed_at as "committedAt", b.undone_at as "undoneAt", b.failure`
const columns = `${beforeReading}, b.reading, ${afterReading}`
// What a look at a table of homes showed can be large, and no list shows it.
const columnsOfList = `${beforeReading}, b.reading - 'look' as reading, ${afterReading}`
const from = 'from import_batch b join stored_file f on f.sha256 = b.file_sha256'
// An import is its maker's and the office's; a home that is not the actor's hides what was read into it.
const visible = `($2 or (b.actor_kind = $3 and b.actor_id = $4))
  and (b.property_id is null or $2 or b.property_id in (select property_id from visible_home($3, $4, $5)))`

const byId = sql('import-by-id', `select ${columns} ${from} where b.id = $1 and ${visible}`)

/** The import, if this actor may see it; otherwise 404. */
export async function readImport(db: Db, who: Who, id: string): Promise<ImportBatch> {
  const batch = await db.one<ImportBatch>(byId, [id, ...seen(who.actor, who.now)])
  if (!batch) throw notFound('import')
  return batch
}

const lockById = sql('import-lock', `select ${columns} ${from} where b.id = $1 and ${visible} for update of b`)

/** Holds an import that is about to change; throws 412 when the caller knew another version. */
export async function importToChange(tx: Tx, who: Who, id: string, version: number | null): Promise<ImportBatch> {
  const batch = await tx.one<ImportBatch>(lockById, [id, ...seen(who.actor, who.now)])
  if (!batch) throw notFound('import')
  if (version !== null && batch.version !== version) throw stale(batch.version)
  return batch
}

const list = sql(
  'import-list',
  `select ${columnsOfList} ${from} where ($1::uuid is null or (b.created_at, b.id) < ($6, $1)) and ${visible}
    order by b.created_at desc, b.id desc limit $7`,
)
/** Newest first. */
export const listImports = (
  db: Db,
  who: Who,
  page: { readonly after: [number, string] | null; readonly limit: number },
) =>
  db.rows<ImportBatch>(list, [
    page.after?.[1] ?? null,
    ...seen(who.actor, who.now),
    page.after ? at(page.after[0]) : null,
    page.limit + 1,
  ])

const insert = sql(
  'import-insert',
  `insert into import_batch (id, kind, state, file_sha256, file_name, reading, property_id, actor_kind, actor_id, created_at)
   values ($1, $2, 'proposed', $3, $4, $5, $6, $7, $8, $9)`,
)
export type NewImport = {
  readonly id: string
  readonly kind: ImportKind
  readonly fileSha256: Buffer
  readonly fileName: string
  readonly reading: KeptReading
  readonly propertyId: string | null
}
export const insertImport = (tx: Tx, act: Act, batch: NewImport) =>
  tx.rows(insert, [
    batch.id,
    batch.kind,
    batch.fileSha256,
    batch.fileName,
    JSON.stringify(batch.reading),
    batch.propertyId,
    act.actor.kind,
    act.actor.id,
    at(act.now),
  ])

const changeReading = sql('import-reading', 'update import_batch set reading = $2, version = version + 1 where id = $1')
export const updateImportReading = (tx: Tx, id: string, reading: KeptReading) =>
  tx.rows(changeReading, [id, JSON.stringify(reading)])

const changeLook = sql(
  'import-look',
  `update import_batch set reading = reading || jsonb_build_object('look', $2::jsonb) where id = $1 and state = 'proposed' and version = $3`,
)
/** Keeps what was seen of a table anew; of the import nothing has changed. */
export const keepLook = (db: Db, { id, version }: Pick<ImportBatch, 'id' | 'version'>, look: KeptLook) =>
  db.rows(changeLook, [id, JSON.stringify(look), version])

const settled = sql(
  'import-settled-count',
  'select (count(committed_at) + count(undone_at))::int as n from import_batch',
)
/** How many imports have been committed and undone so far. */
export const importsSettled = async (db: Db): Promise<number> => (await db.one<{ n: number }>(settled))?.n ?? 0

const commit = sql(
  'import-commit',
  `update import_batch set state = 'committed', committed_at = $2, summary = $3, test_id = $4, property_id = $5,
     reading = $6, version = version + 1 where id = $1`,
)
export const markCommitted = (
  tx: Tx,
  now: number,
  id: string,
  done: {
    readonly summary: ImportSummary
    readonly testId: string | null
    readonly propertyId: string | null
    readonly reading: KeptReading
  },
) =>
  tx.rows(commit, [
    id,
    at(now),
    JSON.stringify(done.summary),
    done.testId,
    done.propertyId,
    JSON.stringify(done.reading),
  ])

const begin = sql(
  'import-begin',
  `update import_batch set state = 'committing', failure = '', version = version + 1 where id = $1`,
)
export const markCommitting = (tx: Tx, id: string) => tx.rows(begin, [id])

const fail = sql(
  'import-fail',
  `update import_batch set state = 'proposed', failure = $2, version = version + 1 where id = $1 and state = 'committing'`,
)
/** Gives an import back that could not be written, with why. */
export const markNotWritten = (db: Db, id: string, why: string) => db.rows(fail, [id, why])

const committing = sql('imports-committing', `select id from import_batch where state = 'committing'`)
/** The imports that are being written, or were when their writer died. */
export const importsCommitting = (db: Db) => db.rows<{ id: string }>(committing)

const giveBack = sql(
  'import-give-back',
  `update import_batch set state = 'proposed', version = version + 1 where state = 'committing'`,
)
/** Gives every import back that nobody is writing any more. */
export const giveBackCommitting = (tx: Tx) => tx.rows(giveBack)

const undo = sql(
  'import-undo',
  `update import_batch set state = 'undone', undone_at = $2, summary = $3, version = version + 1 where id = $1`,
)
export const markUndone = (tx: Tx, now: number, id: string, summary: ImportSummary | null) =>
  tx.rows(undo, [id, at(now), summary && JSON.stringify(summary)])

const lockFile = sql('import-lock-file', `select pg_advisory_xact_lock(hashtextextended('import ' || $1, 0))`)
const sameFile = sql(
  'import-same-file',
  `select id, committed_at as "committedAt" from import_batch
    where file_sha256 = $1 and kind = $2 and state = 'committed' and id <> $3 order by committed_at limit 1`,
)
export type EarlierImport = { readonly id: string; readonly committedAt: number }

/** The committed import of the very same bytes, if there is one. */
export const earlierImport = (db: Db, fileSha256: Buffer, kind: ImportKind, thisId: string) =>
  db.one<EarlierImport>(sameFile, [fileSha256, kind, thisId])

/** One import of the same bytes at a time: the second waits, and then finds the first. */
export const lockImportsOfFile = (tx: Tx, fileSha256: Buffer) => tx.rows(lockFile, [fileSha256.toString('hex')])

const bytesOf = sql('import-file', 'select bytes from stored_file where sha256 = $1')
export async function readImportedFile(db: Db, fileSha256: Buffer): Promise<Buffer> {
  const file = await db.one<{ bytes: Buffer }>(bytesOf, [fileSha256])
  if (!file) throw notFound('file')
  return file.bytes
}

const zoneOfCompany = sql('import-company-zone', 'select zone from company where id = 1')
/** The zone a file is read in while its home is not told. */
export const companyZone = async (db: Db): Promise<string> =>
  (await db.one<{ zone: string }>(zoneOfCompany))?.zone ?? 'UTC'

const tests = sql('import-tests', `select id from test where import_batch_id = $1 and voided_at is null order by id`)
/** The ids of the tests an import made that still stand. */
export const testsOfImport = async (tx: Tx, id: string): Promise<readonly string[]> =>
  (await tx.rows<{ id: string }>(tests, [id])).map(test => test.id)

const lockTables = sql(
  'import-lock-tables',
  `select pg_advisory_xact_lock(hashtextextended('import results-table', 0))`,
)
/** One table at a time: two that overlap would each miss what the other is about to write. */
export const lockTableImports = (tx: Tx) => tx.rows(lockTables)

const tryLockTables = sql(
  'import-try-lock-tables',
  `select pg_try_advisory_xact_lock(hashtextextended('import results-table', 0)) as held`,
)
/** The same for one that can wait longer than a statement may: whether it is its turn. */
export const isTurnOfTable = async (tx: Tx): Promise<boolean> =>
  (await tx.one<{ held: boolean }>(tryLockTables))?.held ?? false
