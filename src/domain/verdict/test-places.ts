import type { EvaluatedTest, ExposureAnswer } from '../answers.ts'
import type { Level } from '../policy/resolved-policy.ts'
import { haveMean } from '../quantity/figure.ts'

/** A device that counts: one with a result. */
export type Counted = ExposureAnswer & { readonly result: NonNullable<ExposureAnswer['result']> }

/** Devices side by side, or one that stood alone; at least one. */
export type Group = readonly Counted[]

/** Where a test found something a level asks about. Told from the devices alone: nothing is reckoned yet. */
export type TestPlace = {
  /** The location, or `dwelling` where the level speaks of the dwelling's mean. */
  readonly key: string
  /** At least one. */
  readonly groups: readonly Group[]
}

export const asksForMean = ({ statistic }: Level): boolean =>
  statistic === 'dwelling-mean' || statistic === 'mean-of-required-rooms'

/** The places of a test whose results count under a level; blanks and spikes never do. */
export function placesOf(test: EvaluatedTest, level: Level): readonly TestPlace[] {
  const counted = test.exposures.filter(exposure => counts(exposure, level)) as readonly Counted[]
  const groups = groupsOf(counted).filter(group => group.length === 1 || haveMean(resultsOf(group)))
  if (!asksForMean(level)) return byLocation(groups)
  return groups.length > 0 && haveMean(groups.flatMap(resultsOf)) ? [{ key: 'dwelling', groups }] : []
}

const counts = ({ role, result, livedIn }: ExposureAnswer, { statistic }: Level) =>
  result !== null &&
  (role === 'measurement' || role === 'duplicate') &&
  (statistic !== 'worst-lived-in-room' || livedIn !== false)

/** What the devices of a group found. */
export const resultsOf = (group: Group) => group.map(({ result }) => result)

function groupsOf(exposures: readonly Counted[]): readonly Group[] {
  const groups = new Map<string, Counted[]>()
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

function byLocation(groups: readonly Group[]): readonly TestPlace[] {
  const places = new Map<string, { readonly key: string; readonly groups: Group[] }>()
  for (const group of groups) {
    const key = group[0]?.locationId ?? ''
    const place = places.get(key)
    if (place) place.groups.push(group)
    else places.set(key, { key, groups: [group] })
  }
  return [...places.values()]
}
