import type { CalibrationFacts, Instant, LocalDay } from '../facts.ts'

export type AbsenceKind = 'calibration' | 'repair' | 'lent' | 'lost'

/** A test that was set with the monitor and is not picked up. `home` is its address for those who may see it. */
export type StayFacts = {
  readonly testId: string
  readonly propertyId: string
  readonly home: string | null
  readonly zone: string
  readonly room: string
  readonly since: Instant
  /** The planned visit that picks it up; null where none is planned. */
  readonly visitAt: Instant | null
}

/** A time for which the monitor is promised to a home. */
export type BookingFacts = {
  readonly id: string
  readonly propertyId: string
  readonly home: string | null
  readonly from: Instant
  readonly until: Instant
}

/** A time away from the shop that is no test; days of the company. `backOn` is the day it was there again. */
export type AbsenceFacts = {
  readonly id: string
  readonly kind: AbsenceKind
  readonly fromOn: LocalDay
  readonly expectedBackOn: LocalDay | null
  readonly backOn: LocalDay | null
  readonly place: string
}

/** All that tells where a monitor is and where it has to be; voided facts stay out. */
export type MonitorFacts = {
  readonly deviceId: string
  readonly name: string
  /** The company's own zone: its days and its shop. */
  readonly zone: string
  readonly retiredAt: Instant | null
  readonly calibrations: readonly CalibrationFacts[]
  readonly stays: readonly StayFacts[]
  /** Those that are not over. */
  readonly bookings: readonly BookingFacts[]
  readonly absences: readonly AbsenceFacts[]
}
