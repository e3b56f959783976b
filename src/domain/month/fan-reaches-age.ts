import { type DayRange, edtfDays } from '../calendar/edtf.ts'
import { lastDayOf, type Month, monthAfter } from '../calendar/month.ts'
import type { Edtf, LocalDay } from '../facts.ts'

/** Whether a fan has reached an age: surely, perhaps where its day is known roughly, or nobody can tell. */
export type Reach = 'reached' | 'may-be' | 'not-yet' | 'unknown'

/** The last day on which a fan went in that reaches the age by the end of a month. */
export const lastDayForAge = (years: number, month: Month): LocalDay => lastDayOf(monthAfter(month, -12 * years))

/** How a fan stands to an age by the end of a month; a rough day stays rough. */
export function reachOf(installed: DayRange | null, years: number, month: Month): Reach {
  if (!installed) return 'unknown'
  const last = lastDayForAge(years, month)
  if (installed.latest <= last) return 'reached'
  return installed.earliest <= last ? 'may-be' : 'not-yet'
}

/** Which of these rough dates mean a fan that has reached the age, and which one that may have. */
export function roughlyAged(dates: readonly Edtf[], years: number, month: Month) {
  const of = (reach: Reach) => dates.filter(date => reachOf(edtfDays(date), years, month) === reach)
  return { reached: of('reached'), maybe: of('may-be'), unknown: of('unknown') }
}
