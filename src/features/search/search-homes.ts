import type { Db } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { type FoundHome, findHomes, readTokens, readWholeCode } from './queries.ts'
import { type Match, type RankedHome, rankHomes } from './rank-homes.ts'
import { findingTokens, tokenFrom } from './read-query.ts'

export type Hit = Omit<FoundHome, 'phrases'> & { readonly matches: readonly Match[]; readonly exact: Match | null }

/**
 * Homes by anything a person remembers of them, the likeliest first. At most three statements whatever is typed.
 * `mayShow` says which kinds of phrase this actor may find by and be shown.
 */
export async function searchHomes(
  db: Db,
  who: Pick<Act, 'actor' | 'now'>,
  typed: string,
  limit: number,
  mayShow: (kind: string) => boolean,
): Promise<Hit[]> {
  const tokens = (await readTokens(db, typed)).map(tokenFrom)
  if (tokens.length === 0) return []
  const whole = await readWholeCode(db, typed)
  const finding = findingTokens(tokens)
  const ranked = (homes: readonly FoundHome[]) => rankHomes(homes, tokens, whole.code, mayShow)
  const strict = await findHomes(db, who, finding, whole.homes, false)
  const complete = ranked(strict).filter(home => home.complete)
  // Judged after ranking, by what this actor may see: whether a hidden name matched must not show in the answer.
  if (complete.length > 0 || finding.length < 2) return complete.slice(0, limit).map(hitFrom(strict))
  const loose = await findHomes(db, who, finding, [], true)
  return ranked(loose).slice(0, limit).map(hitFrom(loose))
}

const hitFrom =
  (homes: readonly FoundHome[]) =>
  ({ propertyId, matches, exact }: RankedHome): Hit => {
    const { phrases: _, ...home } = homes.find(candidate => candidate.propertyId === propertyId)!
    return { ...home, matches, exact }
  }
