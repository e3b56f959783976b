import type { Correction, CorrectionKind } from './correction-rows.ts'

type Words = {
  /** What the button says that does it. */
  readonly act: string
  /** What was done, before the record's words. */
  readonly done: string
}
const words: Readonly<Record<CorrectionKind, Words>> = {
  void: { act: 'Void it', done: 'Voided' },
  move: { act: 'Move it there', done: 'Moved to another home' },
  'merge-customers': { act: 'Merge the two', done: 'Merged into another person' },
  'merge-homes': { act: 'Merge the two', done: 'Merged into another home' },
  'read-again': { act: 'Read it again', done: 'Read again' },
}

export const actWords = (kind: CorrectionKind): string => words[kind].act

/** `Moved to another home: Retest, set 12 May 2026`. */
export const correctionWords = ({ kind, subject }: Pick<Correction, 'kind' | 'subject'>): string =>
  `${words[kind].done}: ${subject}`
