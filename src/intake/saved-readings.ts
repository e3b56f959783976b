import { at, type Db, sql, type Tx } from '../platform/db/client.ts'
import { type Act, recordWrite } from '../platform/db/record-write.ts'
import { newId } from '../platform/ids.ts'
import type { HomesMapping } from './homes-table/homes-reading.ts'
import type { Told } from './monitor-file/open-reading.ts'
import type { Reading } from './monitor-file/reading.ts'

/** What a saved reading of each kind of file tells of the next one. */
export type SavedTold = { readonly 'monitor-record': Told; readonly 'homes-table': HomesMapping }
export type SavedKind = keyof SavedTold
export type SavedReading = {
  [K in SavedKind]: { readonly id: string; readonly kind: K; readonly name: string; readonly reading: SavedTold[K] }
}[SavedKind]

const save = sql(
  'saved-reading-save',
  `insert into saved_reading (id, kind, name, reading, created_by, created_at) values ($1, $2, $3, $4, $5, $6)
   on conflict (kind, name) do update set reading = excluded.reading, created_by = excluded.created_by returning id`,
)
const all = sql('saved-reading-all', 'select id, kind, name, reading from saved_reading order by name, kind')
const byName = sql(
  'saved-reading-by-name',
  'select id, kind, name, reading from saved_reading where kind = $1 and name = $2',
)
const remove = sql('saved-reading-remove', 'delete from saved_reading where id = $1 returning id')

/** What of a reading holds for the next file of the same monitor: not where its lines lie. */
export function lastingPartOf(reading: Reading): Told {
  const {
    encoding: _,
    headerLine: __,
    firstDataLine: ___,
    footerLines: ____,
    repeatedHour: _____,
    ...lasting
  } = reading
  return lasting as Told
}

/** Keeps a reading under a name for the next file; the same name takes the new one. */
export async function saveReading<K extends SavedKind>(
  tx: Tx,
  act: Act,
  kind: K,
  name: string,
  told: SavedTold[K],
): Promise<void> {
  const by = act.actor.kind === 'staff' ? act.actor.id : null
  const kept = await tx.one<{ id: string }>(save, [newId(), kind, name, JSON.stringify(told), by, at(act.now)])
  await recordWrite(tx, act, { action: 'create', noun: 'saved_reading', id: kept!.id })
}

export const listSavedReadings = (db: Db) => db.rows<SavedReading>(all)
export const readSavedReading = <K extends SavedKind>(db: Db, kind: K, name: string) =>
  db.one<Extract<SavedReading, { kind: K }>>(byName, [kind, name])

/** Forgets a reading; false when there was none. */
export async function removeSavedReading(tx: Tx, act: Act, id: string): Promise<boolean> {
  if (!(await tx.one(remove, [id]))) return false
  await recordWrite(tx, act, { action: 'delete', noun: 'saved_reading', id })
  return true
}
