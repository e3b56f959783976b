import { createHash } from 'node:crypto'
import { type AddressKey, houseOf } from '../../domain/address/address-key.ts'
import { likelySame } from '../../domain/address/likely-same.ts'
import type { FileHome } from './gather-homes.ts'
import { joined } from './gather-homes.ts'
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

/** The likely doubles within a file. Only homes with one house number are held against each other. */
export function doublesWithin(homes: readonly FileHome[], said: DoublesSaid): readonly Double[] {
  const doubles: Double[] = []
  const byHouse = new Map<string, FileHome[]>()
  for (const home of homes) {
    if (home.id !== null) continue
    const house = houseOf(home.compared)
    const group = byHouse.get(house)
    if (group) group.push(home)
    else byHouse.set(house, [home])
  }
  for (const group of byHouse.values())
    for (const [i, home] of group.entries())
      for (const other of group.slice(i + 1)) {
        const why = likelySame(home.compared, other.compared)
        if (why === null) continue
        const id = pairId(home.key, other.key)
        doubles.push({ id, home, other: { kind: 'file', home: other }, why, said: said[id] ?? null })
      }
  return doubles
}

/** The likely doubles of a file's homes among those on record that are not certainly theirs. */
export function doublesOnRecord(
  homes: readonly FileHome[],
  candidates: (home: FileHome) => readonly RecordHome[],
  said: DoublesSaid,
): readonly Double[] {
  return homes.flatMap(home =>
    candidates(home).flatMap(other => {
      const tag = home.systems.find(system => system.tag !== null && other.tags.includes(system.tag))?.tag
      const why = tag ? `both have the tag ${tag}` : likelySame(home.compared, other.compared)
      if (why === null) return []
      const id = pairId(home.key, other.id)
      return [{ id, home, other: { kind: 'record' as const, home: other }, why, said: said[id] ?? null }]
    }),
  )
}

/** The homes of a file with those put together that a person said are the same. */
export function mergedAsSaid(homes: readonly FileHome[], doubles: readonly Double[]): readonly FileHome[] {
  const merged = new Map(homes.map(home => [home.key, home]))
  const keptAs = new Map<string, string>()
  const root = (key: string): string => (keptAs.has(key) ? root(keptAs.get(key)!) : key)
  for (const { home, other, said } of doubles) {
    if (said !== 'same' || other.kind !== 'file') continue
    const [into, from] = [root(home.key), root(other.home.key)]
    if (into === from) continue
    merged.set(into, joined(merged.get(into)!, merged.get(from)!))
    merged.delete(from)
    keptAs.set(from, into)
  }
  return [...merged.values()]
}
