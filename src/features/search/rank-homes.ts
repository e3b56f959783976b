import type { Token } from './read-query.ts'

export type Phrase = {
  readonly kind: string
  readonly sourceId: string
  readonly phrase: string
  readonly shown: string
}
export type Candidate = { readonly propertyId: string; readonly phrases: readonly Phrase[] }
export type Match = Pick<Phrase, 'kind' | 'sourceId' | 'shown'>
export type RankedHome = {
  readonly propertyId: string
  readonly score: number
  /** No token goes unanswered. */
  readonly complete: boolean
  /** What matched, the best first. */
  readonly matches: readonly Match[]
  /** The whole query is a code of this home: a tag, a serial. */
  readonly exact: Match | null
}

const codeKinds = new Set(['postcode', 'email', 'phone', 'tag', 'serial', 'device', 'kit'])
const weight: Record<string, number> = {
  'former-owner': 0.92,
  person: 0.94,
  'former-name': 0.92,
  postcode: 0.9,
  email: 0.95,
}

// How well a phrase answers a token, 0 to 1.
function fitOf(token: Token, phrase: Phrase): number {
  const own = weight[phrase.kind] ?? 1
  if (codeKinds.has(phrase.kind)) {
    if (token.code.length < 3 || !phrase.phrase.includes(token.code)) return 0
    const atAnEnd = phrase.phrase.endsWith(token.code) || phrase.phrase.startsWith(token.code) ? 0.1 : 0
    return own * (0.65 + atAnEnd + 0.25 * (token.code.length / phrase.phrase.length))
  }
  let best = 0
  for (const word of phrase.phrase.split(' ')) best = Math.max(best, token.meant.get(word) ?? 0)
  return own * best
}

/** Homes by how well they answer: all tokens before some, together in one phrase before scattered. */
export function rankHomes(
  candidates: readonly Candidate[],
  tokens: readonly Token[],
  wholeCode: string,
  mayShow: (kind: string) => boolean,
): RankedHome[] {
  return candidates
    .map(candidate => rankHome(candidate, tokens, wholeCode, mayShow))
    .filter(home => home.score > 0)
    .sort((a, b) => b.score - a.score || (a.propertyId < b.propertyId ? 1 : -1))
}

function rankHome(
  { propertyId, phrases }: Candidate,
  tokens: readonly Token[],
  wholeCode: string,
  mayShow: (kind: string) => boolean,
): RankedHome {
  const shown = phrases.filter(phrase => mayShow(phrase.kind))
  const found = new Map<Phrase, number>()
  let score = 0
  let unanswered = 0
  for (const token of tokens) {
    const fits = shown.map(phrase => ({ phrase, value: fitOf(token, phrase) }))
    const best = Math.max(0, ...fits.map(({ value }) => value))
    score += best
    if (best === 0) unanswered += 1
    for (const { phrase, value } of fits)
      if (value > 0 && value >= best - 0.1) found.set(phrase, (found.get(phrase) ?? 0) + value)
  }
  const together = Math.max(0, ...found.values())
  const codes = wholeCode.length < 3 ? [] : shown.filter(phrase => codeKinds.has(phrase.kind))
  const exact = codes.find(phrase => phrase.phrase === wholeCode) ?? null
  const holding = exact ?? codes.find(({ phrase }) => phrase.includes(wholeCode))
  if (holding) found.set(holding, (found.get(holding) ?? 0) + tokens.length)
  const matches = [...found].sort((a, b) => b[1] - a[1]).map(([phrase]) => matchOf(phrase))
  const bonus = (exact ? 2 : holding ? 1 : 0) * tokens.length
  return {
    propertyId,
    score: score + 0.5 * together + bonus,
    complete: unanswered === 0 || holding !== undefined,
    matches,
    exact: exact && matchOf(exact),
  }
}

const matchOf = ({ kind, sourceId, shown }: Phrase): Match => ({ kind, sourceId, shown })
