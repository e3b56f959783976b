import { slips, slipsAllowed } from '../../domain/address/edit-distance.ts'
import { otherSpellings } from '../../domain/address/street-words.ts'

/** A word of what was typed, with the words of the index it may mean and how well each fits (1 = the word itself). */
export type Token = {
  readonly typed: string
  readonly meant: ReadonlyMap<string, number>
  /** Homes with a code that holds the typed piece: a phone fragment, a serial. */
  readonly codeHomes: readonly string[]
  /** The typed piece without gaps, as codes are kept. */
  readonly code: string
}
/** What the index knows about a typed word. */
export type TokenRow = {
  readonly word: string
  readonly code: string
  readonly beginnings: readonly string[]
  readonly similar: readonly string[]
  readonly codeHomes: readonly string[]
}

/** The words a typed one may mean: itself, other spellings, words it begins, words it is a slip or two away from. */
export function tokenFrom(row: TokenRow): Token {
  const meant = new Map<string, number>([[row.word, 1]])
  const keep = (word: string, fit: number) => meant.set(word, Math.max(fit, meant.get(word) ?? 0))
  for (const word of otherSpellings(row.word)) keep(word, 0.95)
  for (const word of row.beginnings) keep(word, 0.7 + 0.2 * (row.word.length / word.length))
  const exact = row.beginnings.includes(row.word)
  const isNumber = /^\d+$/.test(row.word)
  for (const word of isNumber && exact ? [] : row.similar) {
    const found = slips(row.word, word)
    const allowed = slipsAllowed(row.word)
    if (found.whole <= allowed) keep(word, 0.8 - 0.15 * found.whole)
    else if (!isNumber && found.beginning <= allowed) keep(word, 0.6 - 0.15 * found.beginning)
  }
  return { typed: row.word, meant, codeHomes: row.codeHomes, code: row.code }
}

/** The tokens that find homes; one or two letters find nothing beside a longer word, they only rank. */
export function findingTokens(tokens: readonly Token[]): readonly Token[] {
  const telling = tokens.filter(token => token.typed.length > 2 || /\d/.test(token.typed))
  return (telling.length > 0 ? telling : tokens).slice(0, 6)
}
