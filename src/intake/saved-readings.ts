import { at, type Db, sql, type Tx } from '../platform/db/client.ts'
import { type Act, recordWrite } from '../platform/db/record-write.ts'
import { newId } from '../platform/ids.ts'
import type { Told } from './monitor-file/open-reading.ts'
import type { Reading } from './monitor-file/reading.ts'

export type SavedReading = { readonly id: string; readonly name: string; readonly reading: Told }

const save = sql(
  'saved-reading-save',
  `insert into saved_reading (id, name, reading, created_by, created_at) values ($1, $2, $3, $4, $5)
   on conflict (name) do update set reading = excluded.reading, created_by = excluded.created_by returning id`,
)
const all = sql('saved-reading-all', 'select id, name, reading from saved_reading order by name')
const byName = sql('saved-reading-by-name', 'select id, name, reading from saved_reading where name = $1')
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
export async function saveReading(tx: Tx, act: Act, name: string, reading: Reading): Promise<void> {
  const by = act.actor.kind === 'staff' ? act.actor.id : null
  const kept = await tx.one<{ id: string }>(save, [
    newId(),
    name,
    JSON.stringify(lastingPartOf(reading)),
    by,
    at(act.now),
  ])
  await recordWrite(tx, act, { action: 'create', noun: 'saved_reading', id: kept!.id })
}

export const listSavedReadings = (db: Db) => db.rows<SavedReading>(all)
export const readSavedReading = (db: Db, name: string) => db.one<SavedReading>(byName, [name])

/** Forgets a reading; false when there was none. */
export async function removeSavedReading(tx: Tx, act: Act, id: string): Promise<boolean> {
  if (!(await tx.one(remove, [id]))) return false
  await recordWrite(tx, act, { action: 'delete', noun: 'saved_reading', id })
  return true
}
