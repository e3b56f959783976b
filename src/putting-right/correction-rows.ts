import type { Tx } from '../platform/db/client.ts'
import type { CorrectionKind } from '../web/correction-words.ts'
import type { HomeChange } from './home-change.ts'

/** A field of a record as a correction found and left it. Of a record it made anew the field is `made`. */
export type Part = {
  readonly noun: string
  readonly recordId: string
  readonly field: string
  readonly was: unknown
  readonly now: unknown
}

/** What is put right, which homes it touches, and why. */
export type Aim = {
  readonly kind: CorrectionKind
  readonly noun: string
  readonly nounId: string
  /** The home or the person it goes to. */
  readonly intoId: string | null
  /** The record in words, as it is called now: `Test set Tue 12 May 2026`. */
  readonly subject: string
  /** The homes whose standing may change. */
  readonly homes: readonly string[]
  /** Versions of what was read to plan it: another version, another tag. */
  readonly versions: readonly number[]
  readonly reason: string
}

type BeforeAndAfter = { readonly before: string; readonly after: string }
/** What a result said and what it says when its file is read again, in words. */
export type ReadingChange = {
  readonly propertyId: string
  readonly testId: string
  readonly home: string
  /** Of a table. */
  readonly line: number | null
  readonly room: string
  /** What of a record is told: its mean. */
  readonly of: string
  readonly result: BeforeAndAfter
  readonly period: BeforeAndAfter
}
/** A sentence, or a result before and after. */
export type Told = string | ReadingChange

/** What the work of a correction did: each field it changed, and in words what came along and what was cut loose. */
export type Done = { readonly parts: readonly Part[]; readonly told: readonly Told[] }

/** A correction that is ready: what it aims at, and the work that does it. */
export type Prepared = { readonly aim: Aim; readonly work: (tx: Tx) => Promise<Done> }

export type Correction = {
  readonly id: string
  readonly kind: CorrectionKind
  readonly noun: string
  readonly nounId: string
  readonly intoId: string | null
  readonly subject: string
  readonly propertyIds: readonly string[]
  readonly reason: string
  readonly standings: readonly HomeChange[]
  readonly told: readonly Told[]
  readonly madeAt: number
  readonly actorKind: string
  readonly actorId: string | null
  /** The name of whoever did it, where it was one of the staff or an app. */
  readonly actorName: string | null
  readonly undoneAt: number | null
  readonly undoneByName: string | null
  readonly undoReason: string | null
  readonly version: number
}

/** A correction with the tag of what it changes: two that would change the same have the same tag. */
export type Tagged = { readonly correction: Correction; readonly tag: string }
