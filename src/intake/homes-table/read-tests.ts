import type { TestPurpose } from '../../domain/facts.ts'
import { unitIn } from '../monitor-file/unit-text.ts'
import { methodNamed } from '../results-table/table-names.ts'
import type { TestCells } from './home-facts.ts'
import type { HomeRole, Readers, Settled } from './homes-reading.ts'
import { readResultCell } from './read-measures.ts'
import { readDateCell } from './rough-date.ts'
import type { RowCells } from './row-cells.ts'

const SLOTS = [
  ['before', 'pre-mitigation'],
  ['after', 'post-mitigation'],
  ['last', 'retest'],
] as const satisfies readonly (readonly [string, TestPurpose])[]

/** The results a row gives: before, after, last. The last that only repeats another is that other. */
export function readTests(row: RowCells, reading: Settled, readers: Readers): readonly TestCells[] {
  const tests: TestCells[] = []
  for (const [slot, purpose] of SLOTS) {
    const test = testIn(row, slot, purpose, reading, readers)
    if (test && !tests.some(one => isSameResult(one, test))) tests.push(test)
  }
  return tests
}

const isSameResult = (a: TestCells, b: TestCells): boolean =>
  a.value === b.value &&
  a.unit === b.unit &&
  a.qualifier === b.qualifier &&
  a.day === b.day &&
  a.dateAsWritten === b.dateAsWritten

function testIn(
  row: RowCells,
  slot: 'before' | 'after' | 'last',
  purpose: TestPurpose,
  reading: Settled,
  readers: Readers,
): TestCells | null {
  const role = (part: 'result' | 'unit' | 'date' | 'method'): HomeRole => `${slot}-${part}`
  const result = readResultCell(row.text(role('result')), reading.decimalMark)
  if (result.kind === 'two') row.remark(role('result'), 'holds two results')
  if (result.kind === 'unreadable') row.remark(role('result'), 'is no result')
  if (result.kind !== 'result') return null
  const unit = result.unit ?? knownUnit(row.text(role('unit'))) ?? reading.constants.radonUnit
  if (unit === null) {
    row.remark(role('result'), 'has no unit')
    return null
  }
  const written = row.text(role('date'))
  const date = readDateCell(written, reading.dateOrder, readers)
  const ahead = date.kind === 'day' && date.edtf > readers.today
  if (ahead) row.remark(role('date'), 'lies in the future')
  if (date.kind === 'unreadable') row.remark(role('date'), 'is no date that is understood')
  const day = date.kind === 'day' && !ahead ? date.edtf : null
  const method = row.text(role('method')) ? methodNamed(row.text(role('method'))) : 'unknown'
  if (method === null) row.remark(role('method'), 'names no method')
  const { value, qualifier } = result
  return {
    ...{ purpose, value, qualifier, unit, day },
    method: method ?? 'unknown',
    dateAsWritten: day === null && date.kind !== 'unknown' ? written.slice(0, 200) : '',
  }
}

const knownUnit = (text: string) => {
  const unit = unitIn(text)
  return unit === 'pCi/L' || unit === 'Bq/m3' ? unit : null
}
