import type { EvaluatedTest, ExposureAnswer, WorkingLine } from '../answers.ts'
import type { RadonUnit } from '../facts.ts'
import type { Level, ResolvedPolicy } from '../policy/resolved-policy.ts'
import { compareFigures, type Figure, figureOf, figureText, meanFigure } from '../quantity/figure.ts'
import { disagree } from './compare-with-level.ts'
import { correctedForSeason } from './seasonal.ts'

/** What one test found at one place: the figure that the level's statistic asks for. */
export type Point = {
  /** The location, or `dwelling` where the level speaks of the dwelling's mean. */
  readonly key: string
  readonly locationId: string | null
  readonly locationName: string
  readonly figure: Figure
  /** How many devices stand behind it. */
  readonly devices: number
  /** How many rooms it speaks for. */
  readonly places: number
  /** Two devices side by side, one below and one above, too far apart to average. */
  readonly disagrees: boolean
  readonly lines: readonly WorkingLine[]
}

/** The places of a test whose results count under the law's level; blanks and spikes never do. */
export function pointsOf(test: EvaluatedTest, law: ResolvedPolicy, level: Level): readonly Point[] {
  const unit = level.unit as RadonUnit
  const counted = test.exposures.filter(
    ({ role, result, livedIn }) =>
      result !== null &&
      (role === 'measurement' || role === 'duplicate') &&
      (level.statistic !== 'worst-lived-in-room' || livedIn !== false),
  )
  const points = groupsOf(counted).flatMap(group => pointOf(group, unit, law) ?? [])
  const atOnePlace =
    level.statistic === 'dwelling-mean' || level.statistic === 'mean-of-required-rooms'
      ? dwellingPoint(points, unit)
      : highestPerPlace(points)
  return atOnePlace.map(point => correctedForSeason(point, test, law))
}

type Group = readonly [ExposureAnswer, ...ExposureAnswer[]]

function groupsOf(exposures: readonly ExposureAnswer[]): readonly Group[] {
  const groups = new Map<string, [ExposureAnswer, ...ExposureAnswer[]]>()
  for (const exposure of exposures) {
    const beside =
      exposure.role === 'duplicate' && exposure.pairKey === null
        ? exposures.find(other => other.role === 'measurement' && other.locationId === exposure.locationId)
        : undefined
    const key = exposure.pairKey ?? beside?.pairKey ?? beside?.exposureId ?? exposure.exposureId
    const group = groups.get(key)
    if (group) group.push(exposure)
    else groups.set(key, [exposure])
  }
  return [...groups.values()]
}

function pointOf(group: Group, unit: RadonUnit, law: ResolvedPolicy): Point | null {
  const figures = group.flatMap(({ result }) => (result ? figureOf(result) : []))
  const [first, second] = figures
  const figure = figures.length === 1 ? first : meanFigure(figures, unit)
  if (!first || !figure) return null
  return {
    key: group[0].locationId ?? '',
    locationId: group[0].locationId,
    locationName: group[0].locationName,
    figure,
    devices: figures.length,
    places: 1,
    disagrees: second !== undefined && figures.length === 2 && disagree(first, second, law),
    lines: figures.length === 1 ? [] : [meanLine(figures, figure, 'devices side by side')],
  }
}

/** `(3.8 pCi/L + 4.1 pCi/L) / 2 = 3.95 pCi/L`. */
export const meanLine = (figures: readonly Figure[], mean: Figure, note: string): WorkingLine => ({
  left: `(${figures.map(figureText).join(' + ')}) / ${figures.length}`,
  relation: '=',
  right: figureText(mean),
  note,
})

function dwellingPoint(points: readonly Point[], unit: RadonUnit): readonly Point[] {
  const [only] = points
  if (!only) return []
  const key = 'dwelling'
  if (points.length === 1) return [{ ...only, key }]
  const figures = points.map(point => point.figure)
  const figure = meanFigure(figures, unit)
  if (!figure) return []
  const lines = [...points.flatMap(point => point.lines), meanLine(figures, figure, 'mean of the rooms')]
  const devices = points.reduce((sum, point) => sum + point.devices, 0)
  const disagrees = points.some(point => point.disagrees)
  return [
    {
      key,
      locationId: null,
      locationName: 'Mean of the rooms',
      figure,
      devices,
      disagrees,
      places: points.length,
      lines,
    },
  ]
}

// Devices in one room that did not stand side by side are places of their own: never averaged, the higher speaks.
function highestPerPlace(points: readonly Point[]): readonly Point[] {
  const highest = new Map<string, Point>()
  for (const point of points) {
    const other = highest.get(point.key)
    if (!other || compareFigures(point.figure, other.figure) > 0) highest.set(point.key, point)
  }
  return [...highest.values()]
}
