import type { Qualifier, RadonUnit, Reported } from '../facts.ts'
import { type Exact, exact, meanOf } from './exact.ts'
import { shownText } from './print-exact.ts'
import { converted } from './radon-unit.ts'

/** A radon concentration to reckon with. `<` is below, `>` is over the value. */
export type Figure = {
  readonly value: Exact
  readonly unit: RadonUnit
  readonly qualifier: Qualifier
  /** The decimal as it was reported, for a figure that is one: `3.0` is printed so, not as `3`. */
  readonly asReported?: string
}

export const figureOf = (result: Pick<Reported, 'value' | 'unit' | 'qualifier'>): Figure => ({
  value: exact(result.value),
  unit: result.unit,
  qualifier: result.qualifier,
  // The mean of a record may be a fraction, which nobody reported.
  ...(result.value.includes('/') ? {} : { asReported: result.value }),
})

export const inUnit = (figure: Figure, unit: RadonUnit): Figure =>
  figure.unit === unit
    ? figure
    : { value: converted(figure.value, figure.unit, unit), unit, qualifier: figure.qualifier }

/** Rising order, whatever the units; qualifiers aside. */
export const compareFigures = (a: Figure, b: Figure): number => a.value.compare(inUnit(b, a.unit).value)

/** `< 0.3 pCi/L`. */
export const figureText = ({ value, unit, qualifier, asReported }: Figure): string =>
  `${qualifier === '=' ? '' : `${qualifier} `}${asReported ?? shownText(value)} ${unit}`

/** The exact mean in `unit`: below when one of them is below, over when one is over, null when both occur. */
export function meanFigure(figures: readonly Figure[], unit: RadonUnit): Figure | null {
  const marks = new Set(figures.map(figure => figure.qualifier).filter(mark => mark !== '='))
  if (marks.size > 1) return null
  const [qualifier = '='] = marks
  return { value: meanOf(figures.map(figure => inUnit(figure, unit).value)), unit, qualifier }
}
