import type { RuleRef, Working } from '../answers.ts'
import type { Instant } from '../facts.ts'
import type { ClosingDevice } from './closing-question.ts'

/** From the earliest to the latest moment that some plan has. */
export type Window = { readonly earliest: Instant; readonly latest: Instant }

/** The windows of a closing; each holds a moment of some plan that keeps to every limit, at both of its ends too. */
export type ClosingWindows = {
  /** When the installation begins, and when the fan comes on at its end; null where nothing is installed. */
  readonly install: Window | null
  readonly fanStart: Window | null
  /** From when the building is kept closed. */
  readonly closed: Window
  /** When the device begins to measure, and when it stops. */
  readonly set: Window
  readonly pickUp: Window
  /** When the report is in hand; null where that is beyond what was looked at. */
  readonly report: Window | null
}

/** A visit of a plan, and who is free for it; null where no crew is on record. */
export type PlannedVisit = {
  readonly purpose: 'installation' | 'set-device' | 'pick-up-device'
  readonly from: Instant
  readonly until: Instant
  readonly crewId: string | null
}
/** The earliest plan: what is proposed. */
export type ClosingPlan = {
  readonly visits: readonly PlannedVisit[]
  readonly fanStartAt: Instant | null
  readonly closedFrom: Instant
  readonly setAt: Instant
  readonly pickUpAt: Instant
  readonly reportAt: Instant | null
}

/** Something that decides how early or late a step can be. */
export type Bind = { readonly text: string; readonly rule: RuleRef | null }

type Told = {
  readonly binds: readonly Bind[]
  readonly workings: readonly Working[]
  /** What the answer takes for granted, or what no rule is known for. */
  readonly notes: readonly string[]
}

export type ClosingAnswer =
  | (Told & {
      readonly verdict: 'feasible'
      readonly deadline: Instant
      readonly windows: ClosingWindows
      readonly plan: ClosingPlan
      /** How much later the first step may be than it is proposed. */
      readonly slackMs: number
      /** Those good until the pick-up that is proposed; null where none limits the answer. */
      readonly devices: readonly ClosingDevice[] | null
    })
  | (Told & {
      readonly verdict: 'infeasible'
      readonly deadline: Instant
      /** The earliest plan of all, which ends too late; null where there is none. */
      readonly plan: ClosingPlan | null
    })
  | (Told & { readonly verdict: 'undetermined'; readonly reason: string })
