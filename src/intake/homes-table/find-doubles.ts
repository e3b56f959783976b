import { createHash } from 'node:crypto'
import { type AddressKey, houseOf } from '../../domain/address/address-key.ts'
import { likelySame } from '../../domain/address/likely-same.ts'
import type { Steps } from '../monitor-file/steps.ts'
import type { FileHome } from './gather-homes.ts'
import { comparedOf, type TableHome, withAlso } from './homes-of-table.ts'
import type { DoublesSaid } from './homes-reading.ts'

/** A home on record, as far as doubles are looked for. */
export type RecordHome = {
  readonly id: string
  readonly compared: AddressKey
  readonly address: string
  readonly owner: string | null
  readonly tags: readonly string[]
}

/** Two that may be one home: side by side until a person has said. */
export type Double = {
  /** Names the pair, in this file and whenever it is read again. */
  readonly id: string
  readonly home: FileHome
  readonly other:
    | { readonly kind: 'file'; readonly home: FileHome }
    | { readonly kind: 'record'; readonly home: RecordHome }
  readonly why: string
  readonly said: 'same' | 'other' | null
}

const pairId = (a: string, b: string): string =>
  createHash('sha256').update(a).update('\n').update(b).digest('hex').slice(0, 16)

/** Two homes of a table that may be one, before they are looked at whole. */
export type Pair = Pick<Double, 'id' | 'why' | 'said'> & { readonly home: TableHome; readonly other: TableHome }

/** The likely doubles within a table. Only homes with one house number are held against each other. */
export function* pairsWithinSteps(homes: Iterable<TableHome>, said: DoublesSaid): Steps<readonly Pair[]> {
  const pairs: Pair[] = []
  for (const group of byHouse(homes)) {
    const some = group.map(home => ({ home, compared: comparedOf(home) }))
    for (const [i, { home, compared }] of some.entries())
      for (let j = i + 1; j < some.length; j++) {
        const { home: other, compared: to } = some[j]!
        const why = likelySame(compared, to)
        if (why === null) continue
        const id = pairId(home.key, other.key)
        pairs.push({ id, home, other, why, said: said[id] ?? null })
      }
    yield
  }
  return pairs
}

function byHouse(homes: Iterable<TableHome>): Iterable<readonly TableHome[]> {
  const houses = new Map<string, TableHome[]>()
  for (const home of homes) {
    if (home.byId) continue
    const house = houseOf(comparedOf(home))
    const group = houses.get(house)
    if (group) group.push(home)
    else houses.set(house, [home])
  }
  return houses.values()
}

/** The likely doubles of a table's home among those on record, where none of them certainly is it. */
export function doublesOnRecord(home: FileHome, candidates: readonly RecordHome[], said: DoublesSaid): Double[] {
  return candidates.flatMap(other => {
    const tag = home.systems.find(system => system.tag !== null && other.tags.includes(system.tag))?.tag
    const why = tag ? `both have the tag ${tag}` : likelySame(home.compared, other.compared)
    if (why === null) return []
    const id = pairId(home.key, other.id)
    return [{ id, home, other: { kind: 'record' as const, home: other }, why, said: said[id] ?? null }]
  })
}

/** The homes of a table with those put together that a person said are the same. */
export function mergedAsSaid(homes: Iterable<TableHome>, pairs: readonly Pair[]): readonly TableHome[] {
  const merged = new Map<string, TableHome>()
  for (const home of homes) merged.set(home.key, home)
  const keptAs = new Map<string, string>()
  const root = (key: string): string => (keptAs.has(key) ? root(keptAs.get(key)!) : key)
  for (const { home, other, said } of pairs) {
    if (said !== 'same') continue
    const [into, from] = [root(home.key), root(other.key)]
    if (into === from) continue
    merged.set(into, withAlso(merged.get(into)!, merged.get(from)!))
    merged.delete(from)
    keptAs.set(from, into)
  }
  return [...merged.values()]
}
