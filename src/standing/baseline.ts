import type { Baseline } from '../domain/baseline/baseline.ts'
import { localDayOf } from '../domain/calendar/local-day.ts'
import type { Instant } from '../domain/facts.ts'
import { epochMs } from '../platform/db/client.ts'

/** The reading that a system's gauge is held against, as it is on record. */
export type BaselineRow = {
  readonly id: string
  readonly role: 'start-up' | 'adopted'
  readonly value: string
  readonly unit: 'in. w.c.' | 'Pa'
  readonly at: Instant
  readonly readBy: string
  /** Why it was adopted, or what else was noted. */
  readonly note: string
  readonly adoptedAt: Instant | null
  readonly adoptedBy: string | null
}

/** The baseline of the system whose id an SQL expression gives, as JSON; null where none is on record. */
export const baselineSql = (systemId: string): string =>
  `(select json_build_object('id', b.id, 'role', b.role, 'value', b.value, 'unit', b.unit, 'at', ${epochMs('b.at')},
     'readBy', b.read_by, 'note', b.note, 'adoptedAt', ${epochMs('b.adopted_at')}, 'adoptedBy', b.adopted_by)
   from system_baseline b where b.system_id = ${systemId})`

/** The same as the reckoning takes it; its day is one of the home's. */
export const baselineOf = ({ value, unit, adoptedAt, adoptedBy }: BaselineRow, zone: string): Baseline => ({
  value,
  unit,
  adopted: adoptedAt === null ? null : { on: localDayOf(adoptedAt, zone), by: adoptedBy ?? '' },
})
