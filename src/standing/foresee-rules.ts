import type { Standing } from '../domain/answers.ts'
import { localDayOf, startOfDay } from '../domain/calendar/local-day.ts'
import type { HomeFacts, Instant, LocalDay } from '../domain/facts.ts'
import type { Policies } from '../domain/policy/policies.ts'
import { resolvePolicy } from '../domain/policy/resolve-policy.ts'
import { lawOfTest } from '../domain/standing/law-of-test.ts'
import { type StandingDifference, standingDifference } from '../domain/standing/standing-difference.ts'
import type { Db } from '../platform/db/client.ts'
import { seriesNeeded } from './evaluate-home.ts'
import { loadHomes, loadSeries } from './load-facts.ts'
import { standAnew } from './restand.ts'

/** Two laws to compare, and the day from which the second may differ. */
export type RuleChange = {
  readonly before: Policies
  readonly after: Policies
  readonly from: LocalDay
  readonly now: Instant
}

export type ForeseenHome = { readonly propertyId: string; readonly difference: StandingDifference }

/**
 * Which of these homes would stand otherwise under other rules, and how: each as it will stand where it lies when the
 * change begins, or today when that has passed. Writes nothing. Voided homes owe nothing under either.
 */
export async function foreseeHomes(
  db: Db,
  change: RuleChange,
  propertyIds: readonly string[],
): Promise<readonly ForeseenHome[]> {
  const homes = await standBoth(db, change, propertyIds)
  return homes.flatMap(({ before, after }) => {
    const difference = standingDifference(before, after)
    return difference ? [{ propertyId: before.propertyId, difference }] : []
  })
}

/** Both standings of one home, with their workings; null when the change does not touch the law of this home. */
export async function foreseeHome(
  db: Db,
  change: RuleChange,
  propertyId: string,
): Promise<{ readonly before: Standing; readonly after: Standing; readonly asOf: Instant } | null> {
  const [home] = await standBoth(db, change, [propertyId])
  return home ?? null
}

async function standBoth(db: Db, change: RuleChange, propertyIds: readonly string[]) {
  const { before, after } = change
  const homes = (await loadHomes(db, propertyIds)).homes
    .map(home => ({ home, asOf: asOfFor(home.facts, change) }))
    .filter(({ home, asOf }) => !home.voided && lawDiffers(home.facts, change, asOf))
  const series = await loadSeries(db, [
    ...new Set(homes.flatMap(({ home, asOf }) => [before, after].flatMap(law => seriesNeeded(home, law, asOf)))),
  ])
  return homes.map(({ home, asOf }) => ({
    asOf,
    before: standAnew(home, before, series, asOf).standing,
    after: standAnew(home, after, series, asOf).standing,
  }))
}

const asOfFor = ({ zone }: HomeFacts, { from, now }: RuleChange): Instant => Math.max(now, startOfDay(from, zone))

// Most homes of a book lie elsewhere: whoever is judged by the same versions stands the same.
function lawDiffers(facts: HomeFacts, { before, after }: RuleChange, asOf: Instant): boolean {
  const today = localDayOf(asOf, facts.zone)
  const keys = (policies: Policies) => [
    resolvePolicy(policies, facts, today)?.versionKey,
    ...facts.tests.map(test => lawOfTest(test, facts, policies, asOf)?.versionKey),
  ]
  const [was, is] = [keys(before), keys(after)]
  return was.some((key, n) => key !== is[n])
}
