import { setImmediate as nextTurn } from 'node:timers/promises'
import type { Db } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { finishedInTurns } from '../monitor-file/steps.ts'
import type { RowFault } from '../table/row-fault.ts'
import { faultsOf } from './faults-of-home.ts'
import { doublesOnRecord, mergedAsSaid, pairsWithinSteps } from './find-doubles.ts'
import type { FileHome } from './gather-homes.ts'
import type { HomesOfTable, TableHome } from './homes-of-table.ts'
import { withAlso } from './homes-of-table.ts'
import type { DoublesSaid } from './homes-reading.ts'
import { ListedDoubles } from './listed-doubles.ts'
import { homesNear } from './record-queries.ts'

/** A home of a table, and the one on record that it certainly is; null: it is on none. */
export type MatchedHome = { readonly told: TableHome; readonly id: string | null }
export type Matched = {
  readonly homes: readonly MatchedHome[]
  readonly faults: readonly RowFault[]
  readonly doubles: ListedDoubles
}

/** Homes that are looked at whole at once, each with those on record that it may be. */
const AT_ONCE = 1_000

/** Tells which of a table's homes are one, and which are on record already. */
export async function matchHomes(db: Db, act: Act, of: HomesOfTable, said: DoublesSaid): Promise<Matched> {
  const doubles = new ListedDoubles()
  const pairs = await finishedInTurns(pairsWithinSteps(of.all(), said))
  for (const { home, other, ...pair } of pairs)
    doubles.add(pair.said, () => ({
      ...{ ...pair, home: of.whole(home) },
      other: { kind: 'file', home: of.whole(other) },
    }))
  const merged = mergedAsSaid(of.all(), pairs)
  const certain = new Map<string, string>()
  const faults: RowFault[] = []
  for (let from = 0; from < merged.length; from += AT_ONCE) {
    const homes = merged.slice(from, from + AT_ONCE).map(told => of.whole(told))
    const near = await homesNear(db, act, homes)
    for (const home of homes) {
      const candidates = near.get(home.key) ?? []
      const match = matchOf(home, candidates)
      if (typeof match === 'string') {
        certain.set(home.key, match)
        continue
      }
      if (match) faults.push(...faultsOf(home, match))
      for (const double of doublesOnRecord(home, candidates, said)) {
        doubles.add(double.said, () => double)
        if (double.said === 'same' && double.other.kind === 'record' && !certain.has(home.key))
          certain.set(home.key, double.other.home.id)
      }
    }
    await nextTurn()
  }
  return { homes: oneForEachRecord(merged, certain), faults, doubles }
}

/** Two homes of a table that are one on record are one. */
function oneForEachRecord(homes: readonly TableHome[], certain: ReadonlyMap<string, string>): readonly MatchedHome[] {
  const one = new Map<string, MatchedHome>()
  for (const told of homes) {
    const id = certain.get(told.key) ?? null
    const before = one.get(id ?? told.key)
    one.set(id ?? told.key, { told: before ? withAlso(before.told, told) : told, id })
  }
  return [...one.values()]
}

/** The record's home that a table's certainly is, or why it is none. */
function matchOf(home: FileHome, near: readonly { readonly id: string; readonly key: string }[]) {
  if (home.id !== null)
    return (
      near.find(({ id }) => id === home.id)?.id ?? {
        problem: 'is the id of no home on record',
        remedy: 'Correct it, or leave it empty.',
      }
    )
  const [first, second] = near.filter(({ key }) => key === home.key)
  return second
    ? { problem: 'fits two homes on record', remedy: 'Give the home’s id, or merge the two first.' }
    : first?.id
}
