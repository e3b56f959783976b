import type { EvaluatedTest, WorkingLine } from '../answers.ts'
import { civilDay, dayMs } from '../calendar/civil-day.ts'
import type { ResolvedPolicy } from '../policy/resolved-policy.ts'
import { exact } from '../quantity/exact.ts'
import { type Figure, figureText } from '../quantity/figure.ts'

const monthDays = 30.4375

/** Applies the law's factor for the month a test began and the months it lasted, and says so when there is none. */
export function correctedForSeason<P extends { readonly figure: Figure; readonly lines: () => readonly WorkingLine[] }>(
  point: P,
  test: EvaluatedTest,
  law: ResolvedPolicy,
): P {
  const table = law.rules.seasonalFactors?.value
  if (!table) return point
  const entry = table.find(({ startMonth, months }) => startMonth === startMonthOf(test) && months === monthsOf(test))
  if (!entry) {
    const shown = figureText(point.figure)
    const line = { left: shown, relation: '=', right: shown, note: 'no seasonal correction applied' }
    return { ...point, lines: () => [...point.lines(), line] }
  }
  const { value, unit, qualifier } = point.figure
  const figure: Figure = { value: value.mul(exact(entry.factor)), unit, qualifier }
  const line = {
    left: `${figureText(point.figure)} × ${entry.factor}`,
    relation: '=',
    right: figureText(figure),
    note: 'seasonal correction',
  }
  return { ...point, figure, lines: () => [...point.lines(), line] }
}

// The month in UTC: factors are tables by whole months, where a day's edge does not matter.
const startMonthOf = ({ startAt }: EvaluatedTest) =>
  startAt === null ? null : civilDay(Math.floor(startAt / dayMs)).month
const monthsOf = ({ startAt, stopAt }: EvaluatedTest) =>
  startAt === null || stopAt === null ? null : Math.round((stopAt - startAt) / dayMs / monthDays)
