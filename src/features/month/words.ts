import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { LocalDay } from '../../domain/facts.ts'
import { ageWords, fanAgeOn } from '../../domain/first-questions/fan-age.ts'
import { dayWords, roughWords } from '../../web/day-words.ts'
import type { MonthHome, MonthItem, MonthSettings } from './queries.ts'
import type { CallOutcome, MonthState } from './schemas.ts'

export const stateWords: Readonly<Record<MonthState, string>> = {
  open: 'Open',
  called: 'Called',
  booked: 'Booked',
  'put-off': 'Put off',
  'fan-unknown': 'Age of the fan not known',
}
export const kindWords = { retest: 'Retests', fan: 'Fans' } as const
export const callOutcomeWords: Readonly<Record<CallOutcome, string>> = {
  'no-answer': 'No answer',
  'left-message': 'Left a message',
  'will-call-back': 'They call back',
}

/** `Retest due 3 Nov 2026`; `Fan 17 years old, in since spring 2009`; `Fan may be 10 years old: …`. */
export function itemWords(item: MonthItem, { zone }: Pick<MonthHome, 'zone'>, { years, today }: MonthSettings): string {
  if (item.kind === 'retest') return `Retest due ${dayWords(item.dueOn)}`
  const { at, edtf } = item.installed
  const since = at === null ? (edtf === null ? null : roughWords(edtf)) : dayWords(localDayOf(at, zone))
  if (item.reach === 'unknown') return `Fan of unknown age${since ? `, in since ${since}` : ''}`
  if (item.reach === 'may-be') return `Fan may be ${years} years old: it came in ${since}, more is not known`
  const age = fanAgeOn(today, item.installed, zone)
  return `Fan ${age ? ageWords(age) : ''}, in since ${since}`
}

/** What the crew is told when a visit is booked from the list. */
export const instructionsFor = (home: MonthHome, settings: MonthSettings): string =>
  home.items.map(item => `${itemWords(item, home, settings)}.`).join(' ')

/** A retest takes a device to set; an old fan alone is looked at. */
export const purposeFor = ({ items }: MonthHome) =>
  items.some(({ kind }) => kind === 'retest') ? 'set-device' : 'gauge-check'

/** The earliest day that anything of the home was due; null where only fans stand there. */
export const dueDayOf = ({ items }: MonthHome): LocalDay | null =>
  items.flatMap(item => (item.kind === 'retest' ? item.dueOn : [])).sort()[0] ?? null

export const addressOf = ({ street, unit }: MonthHome): string => (unit === '' ? street : `${street}, ${unit}`)
