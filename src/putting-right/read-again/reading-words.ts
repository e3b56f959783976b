import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { SeriesFacts } from '../../domain/facts.ts'
import { exactScaled, meanOf } from '../../domain/quantity/exact.ts'
import { fixedText } from '../../domain/quantity/print-exact.ts'
import { lengthText } from '../../domain/series/slots.ts'
import { weekdayWords } from '../../web/day-words.ts'
import { clockWords, zoneWords } from '../../web/instant-words.ts'
import { conversionWords, quantityWords, type ShownQuantity } from '../../web/quantity-text.tsx'

/** What one exposure says, as far as its file says it. */
export type Saying = {
  readonly result: ShownQuantity | null
  readonly startAt: number | null
  readonly stopAt: number | null
}

/** `12 Foundry Lane, Basement: 41 pCi/L → 41 Bq/m³ (1.1 pCi/L), Tue 14 Oct 2025, 17:30 CDT to …, 48 h 30 min, as before`. */
export function changeWords(where: string, before: Saying, after: Saying, zone: string): string {
  const [result, resultNow] = [resultWords(before), resultWords(after)]
  const [period, periodNow] = [periodWords(before, zone), periodWords(after, zone)]
  const results = result === resultNow ? `${result}, as before` : `${result} → ${resultNow}`
  return `${where}: ${results}; ${period === periodNow ? `${period}, as before` : `${period} → ${periodNow}`}`
}

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
