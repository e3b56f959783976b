import type { LocalDay } from '../facts.ts'
import type { Policy } from './policy-schema.ts'
import type { ResolvedPolicy } from './resolved-policy.ts'

/** All rule sets known, each a line of immutable versions. */
export type Policies = {
  /** Versions of each code, oldest first. */
  readonly byCode: ReadonlyMap<string, readonly Policy[]>
  readonly codeByJurisdiction: ReadonlyMap<string, string>
  /** Every day on which some version begins or ends, rising. */
  readonly turningDays: readonly LocalDay[]
  /** Resolutions made so far: the same versions always resolve to the same law. */
  readonly resolved: Map<string, ResolvedPolicy>
  /** Which of them was in force where and when, as far as it was asked. */
  readonly inForce: Map<string, ResolvedPolicy>
}
