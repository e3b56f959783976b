import type { Database, Tx } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import { problem } from '../platform/http/problem.ts'
import type { Tagged } from './correction-rows.ts'
import { foresee } from './foresee.ts'
import { type CorrectionIn, prepare } from './kinds.ts'
import { makeCorrection } from './make-correction.ts'
import { type Undone, undoCorrection } from './undo-correction.ts'

/** Puts right what is asked; with a tag only if it still changes what was shown with that tag. */
export async function putRight(tx: Tx, act: Act, asked: CorrectionIn): Promise<Tagged> {
  const { aim, work } = await prepare(tx, act, asked)
  return asShown(await makeCorrection(tx, act, aim, work), asked.tag)
}

/** What putting this right would change. */
export const foreseen = (db: Database, act: Act, asked: CorrectionIn): Promise<Tagged> =>
  foresee(db, tx => putRight(tx, act, { ...asked, tag: undefined }))

/** Undoes a correction; with a tag only if that still changes what was shown with it. */
export const undo = async (tx: Tx, act: Act, id: string, reason: string, tag?: string): Promise<Undone> =>
  asShown(await undoCorrection(tx, act, id, reason), tag)

/** What undoing it would change. */
export const undoForeseen = (db: Database, act: Act, id: string): Promise<Undone> =>
  foresee(db, tx => undoCorrection(tx, act, id, 'foreseen'))

function asShown<T extends { readonly tag: string }>(done: T, tag: string | undefined): T {
  if (tag !== undefined && tag !== done.tag)
    throw problem(409, 'not-as-shown', 'It would change something else by now than what was shown. Look at it again.')
  return done
}
