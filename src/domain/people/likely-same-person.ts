import { slips, slipsAllowed } from '../address/edit-distance.ts'

/** What tells people apart or shows that two entries are one: as it is on record, the phone as E.164. */
export type KnownPerson = {
  readonly name: string
  readonly phone: string | null
  readonly email: string | null
  /** The town of their own address and those of their homes. */
  readonly towns: readonly string[]
}

const wordsOf = (text: string): readonly string[] =>
  text
    .normalize('NFKD')
    .replaceAll(/\p{M}/gu, '')
    .toLowerCase()
    .replaceAll(/['’.]/g, '')
    .match(/[\p{L}\p{N}]+/gu) ?? []

/** A name as it is compared: `O’Brien, Ann` and `ann obrien` are one. */
export const nameKey = (name: string): string => [...wordsOf(name)].sort().join(' ')
const townKey = (town: string): string => wordsOf(town).join(' ')

/** Why two people may be one, in words for whoever decides; null when nothing speaks for it. */
export function likelySamePerson(a: KnownPerson, b: KnownPerson): string | null {
  const shared = [
    ...(a.phone !== null && a.phone === b.phone ? ['the phone'] : []),
    ...(a.email !== null && a.email.toLowerCase() === b.email?.toLowerCase() ? ['the mail address'] : []),
  ]
  const name = namesAlike(a.name, b.name)
  if (shared.length > 0)
    return `${shared.join(' and ')} ${shared.length > 1 ? 'are' : 'is'} the same, ${nameWords[name]}`
  if (name !== 'same') return null
  const town = a.towns.find(one => one !== '' && b.towns.some(other => townKey(other) === townKey(one)))
  return town === undefined ? null : `the name is the same, and both are of ${town}`
}

const nameWords = {
  same: 'and the name is too',
  alike: 'and the names are almost alike',
  other: 'but the names differ',
}

function namesAlike(a: string, b: string): keyof typeof nameWords {
  const [keyA, keyB] = [nameKey(a), nameKey(b)]
  if (keyA === keyB) return 'same'
  return slips(keyA, keyB).whole <= slipsAllowed(keyA.length < keyB.length ? keyA : keyB) ? 'alike' : 'other'
}
