import type { z } from 'zod'
import type { Instant, LocalDay } from '../../domain/facts.ts'
import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import { notFound } from '../../platform/http/problem.ts'
import type { absenceKind } from './absence-schemas.ts'

export type AbsenceColumns = {
  expectedBackOn: LocalDay | null
  backOn: LocalDay | null
  place: string
  note: string
}
export type AbsenceRow = AbsenceColumns & {
  id: string
  deviceId: string
  kind: z.output<typeof absenceKind>
  fromOn: LocalDay
  version: number
  createdAt: Instant
  voidedAt: Instant | null
  voidReason: string | null
}

const columns = `a.id, a.device_id as "deviceId", a.kind, a.from_on as "fromOn", a.expected_back_on as "expectedBackOn",
  a.back_on as "backOn", a.place, a.note, a.version, a.created_at as "createdAt", a.voided_at as "voidedAt",
  a.void_reason as "voidReason"`

const byId = sql('absence-by-id', `select ${columns} from device_absence a where a.id = $1 and a.device_id = $2`)
/** A time away of this device; 404 when there is none. */
export async function readAbsence(db: Db, deviceId: string, absenceId: string): Promise<AbsenceRow> {
  const absence = await db.one<AbsenceRow>(byId, [absenceId, deviceId])
  if (!absence) throw notFound('absence')
  return absence
}

const ofDevice = sql(
  'absences-of-device',
  `select ${columns} from device_absence a where a.device_id = $1 order by a.from_on desc, a.id desc limit 200`,
)
/** A device's times away, newest first, voided ones among them. */
export const absencesOf = (db: Db, deviceId: string) => db.rows<AbsenceRow>(ofDevice, [deviceId])

const overlapping = sql(
  'absence-overlapping',
  `select ${columns} from device_absence a where a.device_id = $1 and a.voided_at is null and a.id <> $4
     and daterange(a.from_on, a.back_on) && daterange($2::date, $3::date) order by a.from_on limit 1`,
)
/** Another time away that would overlap this one. */
export const absenceOverlapping = (tx: Tx, absence: Pick<AbsenceRow, 'id' | 'deviceId' | 'fromOn' | 'backOn'>) =>
  tx.one<AbsenceRow>(overlapping, [absence.deviceId, absence.fromOn, absence.backOn, absence.id])

const insert = sql(
  'absence-insert',
  `insert into device_absence (id, device_id, kind, from_on, expected_back_on, place, note, created_at)
   values ($1, $2, $3, $4, $5, $6, $7, $8)`,
)
export const insertAbsence = (
  tx: Tx,
  now: number,
  absence: Pick<AbsenceRow, 'id' | 'deviceId' | 'kind' | 'fromOn' | 'expectedBackOn' | 'place' | 'note'>,
) =>
  tx.rows(insert, [
    absence.id,
    absence.deviceId,
    absence.kind,
    absence.fromOn,
    absence.expectedBackOn,
    absence.place,
    absence.note,
    at(now),
  ])

const update = sql(
  'absence-update',
  `update device_absence set expected_back_on = $2, back_on = $3, place = $4, note = $5, version = version + 1
    where id = $1`,
)
export const updateAbsence = (tx: Tx, absenceId: string, absence: AbsenceColumns) =>
  tx.rows(update, [absenceId, absence.expectedBackOn, absence.backOn, absence.place, absence.note])

const markVoided = sql(
  'absence-void',
  'update device_absence set voided_at = $2, void_reason = $3, version = version + 1 where id = $1',
)
export const markAbsenceVoided = (tx: Tx, now: number, absenceId: string, reason: string) =>
  tx.rows(markVoided, [absenceId, at(now), reason])
