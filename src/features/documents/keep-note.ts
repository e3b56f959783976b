import type { Actor } from '../../platform/auth/actor.ts'
import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite, recordWrites } from '../../platform/db/record-write.ts'
import { stale } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { insertFile } from './file-queries.ts'
import { versionOf } from './present.ts'
import { homeOfSubject, insertHomeNotes, insertNote, markNotesVoided, type Note, readNote } from './queries.ts'
import type { Picture } from './reencode-photo.ts'
import type { NoteSubject } from './schemas.ts'

type NoteToKeep = { readonly subject: NoteSubject; readonly subjectId: string; readonly text: string }

/** Keeps a note, with a picture or without, on a record this actor sees; gives it as kept. */
export async function keepNote(tx: Tx, act: Act, input: NoteToKeep, picture: Picture | null): Promise<Note> {
  const propertyId = await homeOfSubject(tx, act, input.subject, input.subjectId)
  const id = newId()
  const file = (bytes: Buffer, name: string) => insertFile(tx, act.now, { bytes, mediaType: 'image/jpeg', name })
  await insertNote(tx, {
    id,
    propertyId,
    ...input,
    photoSha256: picture && (await file(picture.photo, `${id}.jpg`)),
    thumbnailSha256: picture && (await file(picture.thumbnail, `${id}-small.jpg`)),
    ...signature(act.actor),
    at: act.now,
  })
  await recordWrite(tx, act, { action: 'create', noun: 'note', id, propertyId, version: 1 })
  return readNote(tx, act, id)
}

const signature = (actor: Actor) => ({
  byKind: actor.kind,
  byId: actor.id,
  byName: actor.kind === 'staff' || actor.kind === 'app' ? actor.name : '',
})

/** Strikes a note through; its text and picture stay readable. A note changes only once: 412 after that. */
export async function voidNote(tx: Tx, act: Act, id: string, version: number, reason: string): Promise<Note> {
  const note = await readNote(tx, act, id)
  if (version !== versionOf(note) || (await voidNotes(tx, act, [id], reason)) === 0) throw stale(versionOf(note))
  return readNote(tx, act, id)
}

/** The same for many, as far as they stand; gives how many did. */
export async function voidNotes(tx: Tx, act: Act, ids: readonly string[], reason: string): Promise<number> {
  const voided = await markNotesVoided(tx, act.now, ids, reason)
  await recordWrites(
    tx,
    act,
    voided.map(row => ({ action: 'void', noun: 'note', ...row, version: 2, reason })),
  )
  return voided.length
}

/** Keeps notes in words on homes the caller holds, by the same few statements however many; gives their ids. */
export async function writeHomeNotes(
  tx: Tx,
  act: Act,
  notes: readonly { readonly propertyId: string; readonly text: string }[],
): Promise<readonly string[]> {
  const rows = notes.map(note => ({ ...note, id: newId() }))
  await insertHomeNotes(tx, rows, { ...signature(act.actor), at: act.now })
  await recordWrites(
    tx,
    act,
    rows.map(({ id, propertyId }) => ({ action: 'create', noun: 'note', id, propertyId, version: 1 })),
  )
  return rows.map(({ id }) => id)
}
