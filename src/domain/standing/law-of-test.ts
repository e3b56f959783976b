import { localDayOf } from '../calendar/local-day.ts'
import type { HomeFacts, Instant, LocalDay, TestFacts } from '../facts.ts'
import type { Policies } from '../policy/policies.ts'
import { resolvePolicy } from '../policy/resolve-policy.ts'
import type { ResolvedPolicy } from '../policy/resolved-policy.ts'

const later = (a: Instant | null, b: Instant | null) => (a === null || (b !== null && b > a) ? b : a)

/**
 * The instant whose local day's law judges a test: its last stop, else what is known next to it.
 * Never read from a record, which need not be loaded where an evaluation was kept.
 * null for a test that only began or was only planned: today's law judges what is found so far.
 */
export const judgedAt = (test: TestFacts): Instant | null =>
  test.exposures.map(exposure => exposure.stopAt).reduce(later, null) ??
  test.pickedUpAt ??
  test.sentToLabAt ??
  test.resultInAt

/** The law that judges a test of this home. null only when no rule set covers the place. */
export function lawOfTest(test: TestFacts, home: HomeFacts, policies: Policies, now: Instant): ResolvedPolicy | null {
  return resolvePolicy(policies, home, localDayOf(judgedAt(test) ?? now, home.zone))
}

/** The local day a test ended, as far as known. */
export const stopDayOf = (test: TestFacts, zone: string): LocalDay | null => {
  const at = judgedAt(test)
  return at === null ? null : localDayOf(at, zone)
}
