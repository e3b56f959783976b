import type { LocalDay } from '../facts.ts'

export type ChaseKind =
  | 'no-dates'
  | 'too-long'
  | 'not-posted'
  | 'no-answer'
  | 'lot-expired'
  | 'not-picked-up'
  | 'calibration-ends'
  | 'not-back'
  | 'booked-while-away'
  | 'booked-while-standing'

export type ChaseAct =
  | 'call-home'
  | 'call-laboratory'
  | 'plan-visit'
  | 'send-to-calibration'
  | 'get-it-back'
  | 'move-booking'

/** Something lent out that somebody has to run after: since when it is due, why, and what to do. */
export type Chase = {
  readonly kind: ChaseKind
  /** The day by which it should have been done; what is due first stands first. */
  readonly dueOn: LocalDay
  readonly reason: string
  readonly act: ChaseAct
}

/** The most urgent first; of one day, those that came first. */
export const byUrgency = (a: Chase, b: Chase): number => (a.dueOn < b.dueOn ? -1 : Number(a.dueOn > b.dueOn))

export const daysWords = (days: number): string => `${days} ${days === 1 ? 'day' : 'days'}`
