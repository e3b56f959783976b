import { isLocalDay } from '../../domain/calendar/civil-day.ts'
import { addDays } from '../../domain/calendar/day-sums.ts'
import { edtfDays } from '../../domain/calendar/edtf.ts'
import type { Edtf, LocalDay } from '../../domain/facts.ts'
import { type DateOrder, dateIn, monthNamed, stampIn } from '../monitor-file/stamp.ts'
import { saysNothing } from './says-nothing.ts'

/** A date as far as a cell tells it: a day, roughly, not known, or not to be read. */
export type DateCell =
  | { readonly kind: 'day' | 'rough'; readonly edtf: Edtf; readonly counted: boolean }
  | { readonly kind: 'unknown' }
  | { readonly kind: 'unreadable' }

const UNKNOWN = { kind: 'unknown' } as const
const UNREADABLE = { kind: 'unreadable' } as const
const SEASONS: readonly (readonly [RegExp, string])[] = [
  [/^spring$/, '21'],
  [/^summer$/, '22'],
  [/^(?:fall|autumn)$/, '23'],
]
const YEAR = `(?:'?\\d{2}|\\d{4})`
const ABOUT = /^(?:about|abt\.?|around|approx\.?|approximately|roughly|circa|ca\.?|c\.|~|±)\s*/
const DOUBT = /^(?:maybe|probably|prob\.?|perhaps|possibly|i think|guess:?)\s+|\s*(?:or so|-?ish)$/
const FIRST_DAY_NUMBER = 7_306 // 1 January 1920
const LAST_DAY_NUMBER = 73_050 // 31 December 2099

type Reader = { readonly today: LocalDay; readonly daysLate?: number }

/** Reads a date as people write one: `spring 2011`, `2009?`, `ca 2010`, `03/2014`, `before 2005`, 41729, 4/12/2014. */
export function readDateCell(cell: string, order: DateOrder, { today, daysLate = 0 }: Reader): DateCell {
  let text = cell.trim().toLowerCase().replaceAll(/\s+/g, ' ')
  if (saysNothing(text)) return UNKNOWN
  const counted = /^\d{4,5}(?:\.\d+)?$/.test(text) ? dayOfNumber(Number(text) + daysLate) : null
  if (counted) return { kind: 'day', edtf: counted, counted: true }
  const doubtful = /\?/.test(text) || DOUBT.test(text)
  text = text.replaceAll(/[?()]/g, ' ').replace(DOUBT, '').replaceAll(/\s+/g, ' ').trim()
  const about = ABOUT.test(text)
  text = text.replace(ABOUT, '')
  const plain = plainDate(text, order, today)
  if (plain === null) return UNREADABLE
  const edtf = plain.includes('/') ? plain : `${plain}${doubtful && about ? '%' : doubtful ? '?' : about ? '~' : ''}`
  const days = edtfDays(edtf)
  if (!days) return UNREADABLE
  return { kind: edtf.length === 10 && days.earliest === days.latest ? 'day' : 'rough', edtf, counted: false }
}

/** The day a spreadsheet's number counts to (serial dates, 1 is 1 January 1900 and 60 a 29 February that never was). */
export function dayOfNumber(count: number): LocalDay | null {
  if (count < FIRST_DAY_NUMBER || count > LAST_DAY_NUMBER) return null
  return addDays('1899-12-30', Math.floor(count))
}

function plainDate(text: string, order: DateOrder, today: LocalDay): Edtf | null {
  return (
    dayIn(text, order, today) ??
    monthIn(text, today) ??
    seasonIn(text, today) ??
    quarterIn(text, today) ??
    spanIn(text, today) ??
    openIn(text, today) ??
    yearIn(text, today)
  )
}

function dayIn(text: string, order: DateOrder, today: LocalDay): Edtf | null {
  const date = stampIn(text)?.date ?? dateIn(text)
  if (!date) return null
  const settled = date.order === 'ymd' ? 'ymd' : order
  const inOrder =
    settled === 'ymd'
      ? [date.a, date.b, date.c]
      : settled === 'dmy'
        ? [date.c, date.b, date.a]
        : [date.c, date.a, date.b]
  const [year, month, day] = inOrder as [number, number, number]
  const written = `${pastYear(year, /\d{4}/.test(text), today)}-${two(month)}-${two(day)}`
  return isLocalDay(written) ? written : null
}

/** Two digits mean the last such year that has come: of `98` in 2026 it is 1998. */
function pastYear(year: number, inFull: boolean, today: LocalDay): number {
  const full = year < 100 ? 2000 + year : year
  return !inFull && full > Number(today.slice(0, 4)) ? full - 100 : full
}
const yearOf = (written: string, today: LocalDay): number => {
  const digits = written.replace("'", '')
  return pastYear(Number(digits), digits.length === 4, today)
}
const two = (n: number) => String(n).padStart(2, '0')
const monthOf = (year: number, month: number): Edtf | null =>
  month >= 1 && month <= 12 ? `${year}-${two(month)}` : null

function monthIn(text: string, today: LocalDay): Edtf | null {
  const numeric = /^(\d{1,2})[-/.](\d{4})$/.exec(text)
  if (numeric) return monthOf(Number(numeric[2]), Number(numeric[1]))
  const yearFirst = /^(\d{4})[-/.](\d{1,2})$/.exec(text)
  if (yearFirst && Number(yearFirst[2]) <= 12) return monthOf(Number(yearFirst[1]), Number(yearFirst[2]))
  const named =
    new RegExp(`^(?:early |mid-? ?|late |end of )?(\\p{L}{3,10})\\.?,?(?: of|[\\s'-])\\s?(${YEAR})$`, 'u').exec(text) ??
    /^(?<year>\d{4})\s+(\p{L}{3,10})$/u.exec(text)
  if (!named) return null
  const year = named.groups?.year
  const month = monthNamed(year ? named[2]! : named[1]!)
  return month === null ? null : monthOf(yearOf(year ?? named[2]!, today), month)
}

function seasonIn(text: string, today: LocalDay): Edtf | null {
  const parts = new RegExp(`^(?:early |late |the )?([a-z]+)(?: of)?[\\s'-]+(${YEAR})(?:/(${YEAR}))?$`).exec(text)
  if (!parts) return null
  const year = yearOf(parts[2]!, today)
  const season = SEASONS.find(([word]) => word.test(parts[1]!))?.[1]
  if (season) return `${year}-${season}`
  // People say "winter 2010" of the winter that began then and of the one that ended then.
  if (parts[1] !== 'winter') return null
  return parts[3] ? `${year}-12/${year + 1}-02` : `${year - 1}-12/${year + 1}-02`
}

function quarterIn(text: string, today: LocalDay): Edtf | null {
  const parts = new RegExp(`^q([1-4])[\\s/-]*(${YEAR})$`).exec(text) ?? /^(?<year>\d{4})[\s/-]*q([1-4])$/.exec(text)
  if (!parts) return null
  const year = yearOf(parts.groups?.year ?? parts[2]!, today)
  const first = (Number(parts.groups?.year ? parts[2] : parts[1]) - 1) * 3 + 1
  return `${year}-${two(first)}/${year}-${two(first + 2)}`
}

function spanIn(text: string, today: LocalDay): Edtf | null {
  const parts = /^(?:between )?(\d{4})(?: ?[-–/] ?| or | and | to )('?\d{2}|\d{4})$/.exec(text)
  if (!parts) return null
  const [from, to] = [Number(parts[1]), yearOf(parts[2]!, today)]
  return from < to && to - from < 100 ? `${from}/${to}` : null
}

/** What was before a year is open towards the past; what came after one had come by today. */
function openIn(text: string, today: LocalDay): Edtf | null {
  const before = new RegExp(`^(?:before|prior to|pre-?|earlier than|<)\\s?(${YEAR})$`).exec(text)
  if (before) return `../${yearOf(before[1]!, today) - 1}`
  const until = new RegExp(`^(?:by|until|no later than|in or before)\\s(${YEAR})$`).exec(text)
  if (until) return `../${yearOf(until[1]!, today)}`
  const after = new RegExp(`^(?:after|later than|post-?|>)\\s?(${YEAR})$`).exec(text)
  if (after && yearOf(after[1]!, today) < Number(today.slice(0, 4))) return `${yearOf(after[1]!, today) + 1}/${today}`
  const since = new RegExp(`^(?:since|from)\\s(${YEAR})$`).exec(text)
  return since ? `${yearOf(since[1]!, today)}/${today}` : null
}

function yearIn(text: string, today: LocalDay): Edtf | null {
  const decade =
    /^(?:early |mid-? ?|late )?(?:the )?(\d{3})0'?s$/.exec(text) ??
    /^(?:early |mid-? ?|late )?(?:the )?'?(\d)0'?s$/.exec(text)
  if (decade) {
    const tens =
      decade[1]!.length === 3 ? decade[1]! : String(pastYear(Number(`${decade[1]}0`), false, today)).slice(0, 3)
    return `${tens}X`
  }
  const year = /^(?:in |early |mid-? ?|late |end of |beginning of |year )?(\d{4}|'\d{2})$/.exec(text)?.[1]
  return year ? String(yearOf(year, today)) : null
}
