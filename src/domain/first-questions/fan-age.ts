import { whenDays } from '../calendar/edtf.ts'
import type { LocalDay, When } from '../facts.ts'
import type { FanAge } from './call-facts.ts'

// Whole years from one day to another; none before the first has passed.
function wholeYears(from: LocalDay, to: LocalDay): number {
  const years = Number(to.slice(0, 4)) - Number(from.slice(0, 4))
  return Math.max(0, to.slice(5) < from.slice(5) ? years - 1 : years)
}

/** How old a fan is on a day; null when nobody knows when it came in. */
export function fanAgeOn(today: LocalDay, installed: When, zone: string): FanAge | null {
  const days = whenDays(installed, zone)
  return days && { atLeast: wholeYears(days.latest, today), atMost: wholeYears(days.earliest, today) }
}

/** `14 years old`, `between 14 and 16 years old`, `less than a year old`. */
export function ageWords({ atLeast, atMost }: FanAge): string {
  if (atMost === 0) return 'less than a year old'
  if (atLeast === 0) return `${atMost === 1 ? 'up to a year' : `up to ${atMost} years`} old`
  if (atLeast !== atMost) return `between ${atLeast} and ${atMost} years old`
  return atMost === 1 ? 'a year old' : `${atMost} years old`
}
