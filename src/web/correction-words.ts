type Words = {
  /** What the button says that does it. */
  readonly act: string
  /** What was done, before the record's words. */
  readonly done: string
  /** The same for the home that something came to. */
  readonly here?: string
}
const words = {
  void: { act: 'Void it', done: 'Voided' },
  move: { act: 'Move it there', done: 'Moved to another home', here: 'Moved here from another home' },
  'merge-customers': { act: 'Merge the two', done: 'Merged into another person' },
  'merge-homes': {
    act: 'Merge the two',
    done: 'Merged into another home',
    here: 'Another home was merged into this one',
  },
  'read-again': { act: 'Read it again', done: 'Read again' },
} as const satisfies Readonly<Record<string, Words>>

/** The ways in which something is put right. */
export type CorrectionKind = keyof typeof words

export const actWords = (kind: CorrectionKind): string => words[kind].act

type Put = { readonly kind: CorrectionKind; readonly subject: string }
/** `Moved to another home: Retest, set 12 May 2026`. */
export const correctionWords = ({ kind, subject }: Put): string => `${words[kind].done}: ${subject}`

/** What a home says that it came to: `Moved here from another home: Retest, set 12 May 2026`. */
export const cameHereWords = ({ kind, subject }: Put): string => {
  const { here, done }: Words = words[kind]
  return `${here ?? done}: ${subject}`
}
