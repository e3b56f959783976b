export type PasswordFault = {
  readonly code: 'too-short' | 'too-long' | 'common' | 'guessable'
  readonly detail: string
}

export const shortestPassword = 12
export const longestPassword = 1000

const common = `is one of the first that are guessed: take several words that have nothing to do with each other`
const guessable = 'is easily guessed from a name, an address or one repeated part: take other words'

/**
 * Why a password may not be taken, or null. There are no rules of composition: length, and not being among those tried
 * first (NIST SP 800-63B 3.1.1.2: common ones, words of the context, repetitions).
 * @param context names and mail addresses of the person and the company.
 */
export async function passwordFault(password: string, context: readonly string[]): Promise<PasswordFault | null> {
  const length = [...password].length
  if (length < shortestPassword)
    return { code: 'too-short', detail: `has ${length} characters: take at least ${shortestPassword}` }
  if (length > longestPassword)
    return { code: 'too-long', detail: `has ${length} characters: take at most ${longestPassword}` }
  const plain = password.normalize('NFKC').toLowerCase()
  const core = plain.replace(/^[^\p{L}]+|[^\p{L}]+$/gu, '')
  if (isRepetition(plain) || isRun(plain) || wordsOf(context).has(core)) return { code: 'guessable', detail: guessable }
  const tried = await commonPasswords()
  return tried.has(plain) || tried.has(core) ? { code: 'common', detail: common } : null
}

/** Ten characters or fewer, over and over. */
const isRepetition = (password: string) => /^(.{1,10}?)\1+.{0,3}$/u.test(password)

/** Characters that follow each other, such as 123456789012 or abcdefghijkl. */
const isRun = (password: string) => {
  const codes = [...password].map(character => character.codePointAt(0) ?? 0)
  const steps = codes.slice(1).map((code, i) => code - codes[i]!)
  return steps.filter(step => Math.abs(step) === 1).length >= steps.length - 2
}

const wordsOf = (context: readonly string[]): Set<string> => {
  const texts = context.map(text => text.toLowerCase())
  const words = texts.flatMap(text => [text, text.replaceAll(/\P{L}+/gu, ''), ...text.split(/\P{L}+/u)])
  return new Set(['', 'underslab', ...words])
}

let loaded: Promise<Set<string>> | undefined
const commonPasswords = () => {
  loaded ??= import('@zxcvbn-ts/language-common').then(common => new Set(common.dictionary['passwords-common']))
  return loaded
}
