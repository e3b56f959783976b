import type { Instant, SeriesFacts } from '../facts.ts'

export const HOUR_MS = 3_600_000
const MINUTE_MS = 60_000

/** First instant of the i-th interval. */
export const slotStart = (series: SeriesFacts, i: number): Instant =>
  series.startAt + (i * series.intervalS + (series.offsetsS[i] ?? 0)) * 1000

/**
 * End of the i-th interval: where the next begins, so that a drifting clock leaves no seams. An interval stretches by
 * half at most; what lies beyond is not covered.
 */
export function slotEnd(series: SeriesFacts, i: number): Instant {
  const start = slotStart(series, i)
  if (i === series.values.length - 1) return start + series.intervalS * 1000
  return Math.min(slotStart(series, i + 1), start + series.intervalS * 1500)
}

/** A length of time in whole minutes: stamps jitter by seconds, rules speak of hours. */
export const minutesOf = (ms: number): number => Math.round(ms / MINUTE_MS)

/** Whether a length reaches a number of hours, judged in whole minutes. */
export const reachesHours = (ms: number, hours: number): boolean => minutesOf(ms) >= Math.round(hours * 60)

/** `44 h`, `43 h 59 min`, `91 days 2 h`. */
export function lengthText(ms: number): string {
  const minutes = minutesOf(ms)
  const [days, hours, rest] =
    minutes >= 10 * 1440
      ? [Math.floor(minutes / 1440), Math.floor((minutes % 1440) / 60), minutes % 60]
      : [0, Math.floor(minutes / 60), minutes % 60]
  const parts = [days > 0 ? `${days} days` : '', hours > 0 ? `${hours} h` : '', rest > 0 ? `${rest} min` : '']
  return parts.filter(part => part !== '').join(' ') || '0 h'
}
