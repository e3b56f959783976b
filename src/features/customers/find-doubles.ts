import { likelySamePerson, nameKey } from '../../domain/people/likely-same-person.ts'
import type { Db } from '../../platform/db/client.ts'
import { doubleCandidates, type PersonOnRecord, sharedBySome } from './double-queries.ts'

/** Two entries that may be one person, and why. */
export type Double = { readonly one: PersonOnRecord; readonly other: PersonOnRecord; readonly why: string }

/** Entries that may be this person's. */
export async function doublesOf(db: Db, id: string): Promise<readonly Double[]> {
  const [me, ...others] = await doubleCandidates(db, id)
  return me?.id === id ? others.flatMap(other => pairOf(me, other)) : []
}

const groupsRead = 300

/** Entries that may be one person's, those of the same name first; up to `most` pairs. */
export async function likelyDoubles(db: Db, most: number): Promise<readonly Double[]> {
  const people = await sharedBySome(db, groupsRead)
  const pairs = new Map<string, Double>()
  for (const [n, one] of people.entries())
    for (const other of people.slice(n + 1)) {
      if (other.key !== one.key) break
      if (one.apart.includes(other.id)) continue
      for (const pair of pairOf(one, other)) pairs.set(`${one.id} ${other.id}`, pair)
    }
  return [...pairs.values()].sort((a, b) => Number(namedAlike(b)) - Number(namedAlike(a))).slice(0, most)
}

const namedAlike = ({ one, other }: Double): boolean => nameKey(one.name) === nameKey(other.name)

const pairOf = (one: PersonOnRecord, other: PersonOnRecord): Double[] => {
  const why = likelySamePerson(one, other)
  return why === null ? [] : [{ one, other, why }]
}
