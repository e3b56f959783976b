import { localDayOf, startOfDay } from '../calendar/local-day.ts'
import type { HomeFacts, Instant } from '../facts.ts'
import type { Policies } from '../policy/policies.ts'
import { resolvePolicy } from '../policy/resolve-policy.ts'

/**
 * The instant when time alone will change the standing: the start, in the home's zone, of the first day whose law
 * is another than today's. Nothing else in a standing ages.
 */
export function nextLawChangeAt(home: HomeFacts, policies: Policies, now: Instant): Instant | null {
  const today = localDayOf(now, home.zone)
  const lawOn = (day: string) => resolvePolicy(policies, home, day)?.versionKey
  const day = policies.turningDays.find(turning => turning > today && lawOn(turning) !== lawOn(today))
  return day === undefined ? null : startOfDay(day, home.zone)
}
