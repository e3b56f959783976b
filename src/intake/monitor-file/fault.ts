/** Why a file, or one place in it, could not be read. Nothing is saved while there is one. */
export type Fault = {
  readonly code:
    | 'empty'
    | 'too-large'
    | 'not-text'
    | 'no-readings'
    | 'ragged'
    | 'quote'
    | 'stamp'
    | 'number'
    | 'unit'
    | 'two-values'
    | 'no-such-time'
    | 'interval'
    | 'too-far-apart'
    | 'unanswered'
  /** Counted from 1, as an editor counts; null when it concerns the whole file. */
  readonly line: number | null
  readonly content: string
  readonly problem: string
  readonly remedy: string
}

/** Thrown inside the reading only, and caught at its edge: a whole-file fault ends it at once. */
export class Unreadable extends Error {
  readonly fault: Fault
  constructor(fault: Fault) {
    super(fault.problem)
    this.fault = fault
  }
}

export const MAX_FILE_BYTES = 20 * 1024 * 1024
/** No exporter writes a line this long; a file without line ends is no table. */
export const MAX_LINE_CHARS = 10 * 1024 * 1024
/** Faults listed one by one; a systematic one would fill pages with itself. */
export const MAX_FAULTS = 100

/** As much of a line as helps to recognise it. */
export const shown = (content: string): string => (content.length > 120 ? `${content.slice(0, 117)}…` : content)
