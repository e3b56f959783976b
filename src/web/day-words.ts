import { daysBetween } from '../domain/calendar/day-sums.ts'
import { dayWords, monthNames } from '../domain/calendar/day-words.ts'
import type { Edtf, LocalDay } from '../domain/facts.ts'

export { dayWords }

const weekdays = ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat']
const seasons: Record<string, string> = { 21: 'spring', 22: 'summer', 23: 'autumn', 24: 'winter' }

export const weekdayOf = (day: LocalDay): string => weekdays[((daysBetween('1970-01-04', day) % 7) + 7) % 7] ?? ''

/** `Tue 12 May 2026`. */
export const weekdayWords = (day: LocalDay, today?: LocalDay): string => `${weekdayOf(day)} ${dayWords(day, today)}`

const counted = (count: number, noun: string) => `${count} ${noun}${count === 1 ? '' : 's'}`

/** `today`, `tomorrow`, `in 3 weeks`, `2 years ago`: days to a fortnight, then weeks, months, years. */
export function distanceWords(day: LocalDay, today: LocalDay): string {
  const days = daysBetween(today, day)
  if (days === 0) return 'today'
  if (days === 1) return 'tomorrow'
  if (days === -1) return 'yesterday'
  const size = spanWords(Math.abs(days))
  return days > 0 ? `in ${size}` : `${size} ago`
}

function spanWords(days: number): string {
  if (days < 14) return counted(days, 'day')
  if (days < 60) return counted(Math.round(days / 7), 'week')
  if (days < 700) return counted(Math.round(days / 30.44), 'month')
  return counted(Math.round(days / 365.25), 'year')
}

/** A rough date in words: `spring 2011`, `about 2009`, `April 2014, unsure`. */
export function roughWords(text: Edtf): string {
  if (text.includes('/')) return text.split('/').map(roughWords).join(' to ')
  const mark = /[?~%]$/.exec(text)?.[0] ?? ''
  const plain = mark === '' ? text : text.slice(0, -1)
  const words = plainWords(plain)
  if (mark === '~') return `about ${words}`
  if (mark === '?') return `${words}, unsure`
  return mark === '%' ? `about ${words}, unsure` : words
}

function plainWords(text: string): string {
  if (/^\d{4}-\d{2}-\d{2}$/.test(text)) return dayWords(text)
  if (/^\d{3}X$/.test(text)) return `the ${text.slice(0, 3)}0s`
  const [year = '', part] = text.split('-')
  if (part === undefined) return year
  return `${seasons[part] ?? monthNames[Number(part) - 1] ?? ''} ${year}`.trim()
}
