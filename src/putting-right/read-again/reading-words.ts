import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { SeriesFacts } from '../../domain/facts.ts'
import { exactScaled, meanOf } from '../../domain/quantity/exact.ts'
import { fixedText } from '../../domain/quantity/print-exact.ts'
import { lengthText } from '../../domain/series/slots.ts'
import { weekdayWords } from '../../web/day-words.ts'
import { clockWords, zoneWords } from '../../web/instant-words.ts'
import { conversionWords, quantityWords, type ShownQuantity } from '../../web/quantity-text.tsx'
import type { ReadingChange } from '../correction-rows.ts'

/** What one exposure says, as far as its file says it. */
export type Saying = {
  readonly result: ShownQuantity | null
  readonly startAt: number | null
  readonly stopAt: number | null
}

/** Where a reading is: its test, and the words that find it. */
export type Where = Pick<ReadingChange, 'propertyId' | 'testId' | 'home' | 'line' | 'room' | 'of'>

export const changeOf = (where: Where, before: Saying, after: Saying, zone: string): ReadingChange => ({
  ...where,
  result: { before: resultWords(before), after: resultWords(after) },
  period: { before: periodWords(before, zone), after: periodWords(after, zone) },
})

function resultWords({ result }: Saying): string {
  if (!result) return 'no result'
  const converted = conversionWords(result)
  return `${quantityWords(result)}${converted ? ` (${converted})` : ''}`
}

function periodWords({ startAt, stopAt }: Saying, zone: string): string {
  const moment = (at: number | null) =>
    at === null
      ? 'time not known'
      : `${weekdayWords(localDayOf(at, zone))}, ${clockWords(at, zone)} ${zoneWords(at, zone)}`
  const length = startAt !== null && stopAt !== null ? `, ${lengthText(stopAt - startAt)}` : ''
  return `${moment(startAt)} to ${moment(stopAt)}${length}`
}

/** The mean of every reading of a record, before a rule leaves any of them out. */
export function meanOfAll({
  values,
  scale,
  unit,
}: Pick<SeriesFacts, 'values' | 'scale' | 'unit'>): ShownQuantity | null {
  const read = values.filter(value => value !== null)
  return read.length === 0 ? null : { value: fixedText(meanOf(read.map(value => exactScaled(value, scale))), 2), unit }
}
