import { type ClockSpan, clockSpansFault } from '../domain/calendar/working-hours.ts'
import { readTypedTime } from './read-typed-number.ts'

export type TypedSpans =
  | { readonly ok: true; readonly spans: readonly ClockSpan[] }
  | { readonly ok: false; readonly fault: string }

const timeOf = (typed: string): string | null => (/^24([:.h]?00)?$/.test(typed.trim()) ? '24:00' : readTypedTime(typed))

/** Stretches of a day as people type them: `8-12, 1 pm to 5 pm` → 08:00 to 12:00 and 13:00 to 17:00; nothing is a day off. */
export function readTypedSpans(typed: string): TypedSpans {
  const parts = typed.split(/[,;]| and /).filter(part => part.trim() !== '')
  const spans = parts.map(spanOf)
  const unread = parts[spans.indexOf(null)]
  if (unread !== undefined)
    return { ok: false, fault: `“${unread.trim()}” is no stretch of a day: write it like 08:00-17:00` }
  const read = spans.filter(span => span !== null)
  const fault = clockSpansFault(read)
  return fault === null ? { ok: true, spans: read } : { ok: false, fault: `${fault}: correct it` }
}

function spanOf(part: string): ClockSpan | null {
  const [from, until, ...more] = part.split(/[-–—]| to | until /).map(timeOf)
  return from && until && more.length === 0 && from !== '24:00' ? { from, until } : null
}

/** `08:00-12:00, 13:00-17:00`: what `readTypedSpans` reads. */
export const spansText = (spans: readonly ClockSpan[]): string =>
  spans.map(({ from, until }) => `${from}-${until}`).join(', ')
