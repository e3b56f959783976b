import type { EvaluatedTest, WorkingLine } from '../answers.ts'
import type { RadonUnit } from '../facts.ts'
import type { Level, ResolvedPolicy } from '../policy/resolved-policy.ts'
import { compareFigures, type Figure, figureOf, figureText, meanOfFigures } from '../quantity/figure.ts'
import { disagree } from './compare-with-level.ts'
import { correctedForSeason } from './seasonal.ts'
import { asksForMean, type Counted, type Group, placesOf, resultsOf, type TestPlace } from './test-places.ts'

/** What one test found at one place: the figure that the level's statistic asks for. */
export type Point = {
  readonly locationId: string | null
  readonly locationName: string
  readonly figure: Figure
  /** How many devices stand behind it. */
  readonly devices: number
  /** How many rooms it speaks for. */
  readonly places: number
  /** Two devices side by side, one below and one above, too far apart to average. */
  readonly disagrees: boolean
  /** How the figure came about; written out only for what decides. */
  readonly lines: () => readonly WorkingLine[]
}

/** What a test found at each of its places. */
export const pointsOf = (test: EvaluatedTest, law: ResolvedPolicy, level: Level): readonly Point[] =>
  placesOf(test, level).map(place => pointAt(place, test, law, level))

/** What a test found at one of its places. */
export function pointAt({ groups }: TestPlace, test: EvaluatedTest, law: ResolvedPolicy, level: Level): Point {
  const unit = level.unit as RadonUnit
  const points = groups.map(group => pointOf(group, unit, law))
  // Devices in one room that did not stand side by side are never averaged: the higher speaks.
  const point = asksForMean(level) && points.length > 1 ? meanOfRooms(points, unit) : points.reduce(higher)
  return correctedForSeason(point, test, law)
}

const higher = (a: Point, b: Point) => (compareFigures(b.figure, a.figure) > 0 ? b : a)

// Written out field by field: a spread of an object here costs more than the arithmetic.
function pointOf(group: Group, unit: RadonUnit, law: ResolvedPolicy): Point {
  const [{ locationId, locationName }] = group as readonly [Counted]
  const figures = resultsOf(group).map(figureOf)
  const [first, second] = figures as [Figure, ...Figure[]]
  const figure = second ? meanOfFigures(figures, unit) : first
  return {
    locationId,
    locationName,
    figure,
    devices: figures.length,
    places: 1,
    disagrees: second !== undefined && figures.length === 2 && disagree(first, second, law),
    lines() {
      return second ? [meanLine(figures, figure, 'devices side by side')] : []
    },
  }
}

/** `(3.8 pCi/L + 4.1 pCi/L) / 2 = 3.95 pCi/L`. */
export const meanLine = (figures: readonly Figure[], mean: Figure, note: string): WorkingLine => ({
  left: `(${figures.map(figureText).join(' + ')}) / ${figures.length}`,
  relation: '=',
  right: figureText(mean),
  note,
})

function meanOfRooms(points: readonly Point[], unit: RadonUnit): Point {
  const figures = points.map(point => point.figure)
  const figure = meanOfFigures(figures, unit)
  return {
    locationId: null,
    locationName: 'Mean of the rooms',
    figure,
    devices: points.reduce((sum, point) => sum + point.devices, 0),
    places: points.length,
    disagrees: points.some(point => point.disagrees),
    lines: () => [...points.flatMap(point => point.lines()), meanLine(figures, figure, 'mean of the rooms')],
  }
}
