import type { Instant, LocalDay } from '../../domain/facts.ts'
import { readTypedDate } from '../../web/read-typed-date.ts'
import { dateReadingFor } from '../../web/typed-fields.ts'
import { impossible } from './refuse.ts'

/** A day as people type it where the home stands; null when nothing was typed, 422 when it is no day. */
export function typedDay(
  typed: string | undefined,
  home: { readonly zone: string; readonly country: string },
  now: Instant,
  pointer: string,
): LocalDay | null {
  if (typed === undefined) return null
  const day = readTypedDate(typed, dateReadingFor(home, now))
  if (day.ok) return day.day
  throw impossible([{ pointer, code: 'date', detail: day.fault }])
}
