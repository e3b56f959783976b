import type { Reported } from '../../domain/facts.ts'
import type { ReadExposure, ReadTest } from '../../features/tests/reading-queries.ts'
import type { TestReadAgain } from '../../features/tests/replace-readings.ts'
import type { ReadRow } from '../../intake/results-table/read-result-row.ts'
import { instantOfMoment } from '../../intake/try-table.ts'
import type { Told } from '../correction-rows.ts'
import { sameValue } from '../record-parts.ts'
import { whereWords } from '../told-words.ts'
import { changeOf } from './reading-words.ts'

/** What a file says when it is read again: the tests that change with it, and what each result said and says. */
export type Again = { readonly tests: readonly TestReadAgain[]; readonly told: readonly Told[] }

/** Where a test is, in words. */
export type WhereOf = (test: ReadTest, exposure: ReadExposure) => { readonly home: string; readonly room: string }

/**
 * What each test of a table becomes when its row is read otherwise. Where a person has put in something else since the
 * row was read, that stays, and is told.
 */
export function tableAgain(
  tests: readonly ReadTest[],
  before: readonly ReadRow[],
  after: readonly ReadRow[],
  whereOf: WhereOf,
): Again {
  const [was, now] = [byLine(before), byLine(after)]
  const changed: TestReadAgain[] = []
  const told: Told[] = []
  for (const test of tests) {
    const [exposure] = test.exposures
    const line = test.importLine
    if (line === null || !exposure || !was.has(line) || !now.has(line)) continue
    const [base, again] = [sayingOf(was.get(line)!, test.zone), sayingOf(now.get(line)!, test.zone)]
    const where = { propertyId: test.propertyId, testId: test.id, ...whereOf(test, exposure), line, of: '' }
    const merged = mergedWith(exposure, base, again)
    if (merged.byHand.length > 0)
      told.push(`${whereWords(where)}: ${merged.byHand.join(' and ')} put in by hand since stays.`)
    if (sameValue(merged.saying, sayingNow(exposure))) continue
    const { startAt, stopAt, result } = merged.saying
    const moved = { setAt: 'startAt', pickedUpAt: 'stopAt', resultInAt: 'stopAt' } as const
    const moments = Object.fromEntries(
      Object.entries(moved).flatMap(([field, from]) =>
        test[field as keyof typeof moved] === base[from] && base[from] !== again[from] ? [[field, again[from]]] : [],
      ),
    )
    changed.push({
      ...{ test, moments, pointer: `/rows/${line}` },
      readings: [{ exposureId: exposure.id, startAt, stopAt, result, series: null }],
    })
    told.push(changeOf(where, sayingNow(exposure), merged.saying, test.zone))
  }
  return { tests: changed, told }
}

const byLine = (rows: readonly ReadRow[]): ReadonlyMap<number, ReadRow> => new Map(rows.map(row => [row.line, row]))

type RowSaying = { readonly result: Reported | null; readonly startAt: number | null; readonly stopAt: number | null }

const sayingOf = ({ value, unit, qualifier, uncertainty, start, stop }: ReadRow, zone: string): RowSaying => ({
  result: { value, unit, qualifier, uncertainty },
  startAt: instantOfMoment(start, zone),
  stopAt: instantOfMoment(stop, zone),
})

const sayingNow = ({ value, unit, qualifier, uncertainty, startAt, stopAt }: ReadExposure): RowSaying => ({
  result: value === null || unit === null ? null : { value, unit, qualifier, uncertainty },
  startAt,
  stopAt,
})

const NAMES = { result: 'a result', startAt: 'a start', stopAt: 'an end' } as const

/** What the row says now, but for what no longer holds what the row said before: that a person has put in. */
function mergedWith(exposure: ReadExposure, base: RowSaying, again: RowSaying) {
  const now = sayingNow(exposure)
  const byHand: string[] = []
  const taken = <K extends keyof RowSaying>(part: K): RowSaying[K] => {
    if (sameValue(base[part], again[part])) return now[part]
    if (sameValue(now[part], base[part])) return again[part]
    byHand.push(NAMES[part])
    return now[part]
  }
  const saying: RowSaying = { result: taken('result'), startAt: taken('startAt'), stopAt: taken('stopAt') }
  return { saying, byHand }
}
