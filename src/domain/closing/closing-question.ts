import type { Moment } from '../calendar/edtf.ts'
import type { Span, WorkingHours } from '../calendar/working-hours.ts'
import type { Instant, LocalDay } from '../facts.ts'
import type { ResolvedPolicy } from '../policy/resolved-policy.ts'

export const closingAsks = ['fix-and-result', 'result', 'post-mitigation-test'] as const
export type ClosingAsk = (typeof closingAsks)[number]
export const closingMethods = ['continuous-monitor', 'activated-charcoal', 'liquid-scintillation'] as const
export type ClosingMethod = (typeof closingMethods)[number]

/** How long the company expects things to take: its own figures. */
export type Durations = {
  readonly installMinutes: number
  readonly setMinutes: number
  readonly pickUpMinutes: number
  /** Of the office's working time, for reading out and reporting. */
  readonly reportMinutes: number
  /** From pick-up of a kit to the laboratory's answer, post included. */
  readonly laboratoryDays: number
}

/** Somebody who goes on visits, and when they are elsewhere. */
export type CrewTime = { readonly id: string; readonly name: string; readonly busy: readonly Span[] }
/** A device that is not out; `goodUntil` is the last day of its calibration, or of a kit's shelf life. */
export type ClosingDevice = { readonly id: string; readonly name: string; readonly goodUntil: LocalDay | null }

export type ClosingQuestion = {
  readonly now: Instant
  readonly asks: ClosingAsk
  readonly method: ClosingMethod
  /**
   * When the result must be in hand; of a post-mitigation test, when it must have been picked up. null leaves it to the
   * rule for post-mitigation tests.
   */
  readonly deadline: Instant | null
  /** IANA zone of the home. */
  readonly zone: string
  readonly law: ResolvedPolicy | null
  /** Whether a fan-powered system is in the home, and when its fan last came on, as far as known. */
  readonly mitigated: boolean
  readonly fanStart: Moment | null
  readonly hours: WorkingHours
  readonly durations: Durations
  /** None on record: somebody who is always free is assumed, and said. */
  readonly crews: readonly CrewTime[]
  /** null: none of this method is on record, so none limits the answer. */
  readonly devices: readonly ClosingDevice[] | null
}
