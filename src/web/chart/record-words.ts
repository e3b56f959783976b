import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Instant } from '../../domain/facts.ts'
import { weekdayWords } from '../day-words.ts'
import { clockWords } from '../instant-words.ts'
import { quantityWords, unitWords } from '../quantity-text.tsx'
import type { RecordFacts } from './record-facts.ts'
import type { Reading } from './record-readings.ts'

export const momentWords = (at: Instant, zone: string): string =>
  `${weekdayWords(localDayOf(at, zone))}, ${clockWords(at, zone)}`

/** What the record shows, in sentences: mean, highest with its hour, level, what was left out. */
export function recordFinding(facts: RecordFacts, readings: readonly Reading[]): string {
  const { series, zone, level, mean, leftOut } = facts
  const measured = readings.filter(reading => reading.value !== null)
  const highest = measured.reduce<Reading | null>(
    (most, each) => (most && most.value! >= each.value! ? most : each),
    null,
  )
  const parts = [
    mean === null
      ? 'No mean was reckoned'
      : `Mean of the hours used ${quantityWords({ value: mean, unit: series.unit })}`,
    highest === null
      ? 'no readings'
      : `highest ${highest.text} ${unitWords(series.unit)} on ${momentWords(highest.from, zone)}`,
    level === null ? 'no level is set here' : `${level.label} ${quantityWords(level)}`,
    leftOut.length === 0 ? 'no hours left out' : `${leftOut.length} part${leftOut.length === 1 ? '' : 's'} left out`,
  ]
  return `${parts.join('; ')}.`
}
