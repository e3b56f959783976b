import type { EvaluatedTest } from '../answers.ts'
import type { HomeFacts, LocalDay } from '../facts.ts'
import type { ResolvedPolicy } from '../policy/resolved-policy.ts'
import type { Decision } from '../verdict/decide-location.ts'
import type { JudgedTest } from '../verdict/reading.ts'
import type { SystemChange } from '../verdict/system-changes.ts'

/** What duties follow from: the home, how its tests came out, and the law of today. */
export type DutyContext = {
  readonly home: HomeFacts
  readonly law: ResolvedPolicy
  readonly mitigated: boolean
  readonly change: SystemChange | null
  readonly current: readonly JudgedTest[]
  readonly earlier: readonly JudgedTest[]
  readonly underWay: readonly EvaluatedTest[]
  readonly checks: readonly EvaluatedTest[]
  /** What the counting tests come to under today's law; null when nothing is decided. */
  readonly decision: Decision | null
}

/** The test a decision rests on last, and the day it ended. */
export const lastReading = (decision: Decision): { readonly testId: string; readonly stopOn: LocalDay } => {
  const reading = decision.readings.at(-1)
  if (!reading) throw new RangeError('A decision rests on at least one reading')
  return { testId: reading.test.testId, stopOn: reading.stopOn }
}
