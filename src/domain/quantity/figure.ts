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
  readonly asReported?: string | undefined
}

export const figureOf = (result: Pick<Reported, 'value' | 'unit' | 'qualifier'>): Figure => ({
  value: exact(result.value),
  unit: result.unit,
  qualifier: result.qualifier,
  // The mean of a record may be a fraction, which nobody reported.
  asReported: result.value.includes('/') ? undefined : result.value,
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

/** Whether figures have a mean: of one below detection and one over range nobody knows it. */
export const haveMean = (figures: readonly Pick<Figure, 'qualifier'>[]): boolean =>
  !figures.some(isBelow) || !figures.some(isOver)
const isBelow = ({ qualifier }: Pick<Figure, 'qualifier'>) => qualifier === '<'
const isOver = ({ qualifier }: Pick<Figure, 'qualifier'>) => qualifier === '>'

/** The exact mean in `unit` of figures that have one: below when one of them is below, over when one is over. */
export function meanOfFigures(figures: readonly Figure[], unit: RadonUnit): Figure {
  if (!haveMean(figures)) throw new RangeError('Figures below and over have no mean')
  const qualifier = figures.some(isBelow) ? '<' : figures.some(isOver) ? '>' : '='
  return { value: meanOf(figures.map(figure => inUnit(figure, unit).value)), unit, qualifier }
}

/** The exact mean in `unit`; null when there is none. */
export const meanFigure = (figures: readonly Figure[], unit: RadonUnit): Figure | null =>
  haveMean(figures) ? meanOfFigures(figures, unit) : null
