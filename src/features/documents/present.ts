import type { z } from 'zod'
import { instantText, instantTextOrNull } from '../../platform/http/scalars.ts'
import type { Note } from './queries.ts'
import type { noteOut } from './schemas.ts'

/** A note is never rewritten, only struck through: version 1 as written, 2 once voided. */
export const versionOf = (note: Note): number => (note.voidedAt === null ? 1 : 2)

export const presentNote = (note: Note): z.input<typeof noteOut> => ({
  id: note.id,
  propertyId: note.propertyId,
  subject: note.subject,
  subjectId: note.subjectId,
  text: note.text,
  photo: note.photo,
  by: note.by,
  at: instantText(note.at),
  version: versionOf(note),
  voidedAt: instantTextOrNull(note.voidedAt),
  voidReason: note.voidReason,
})
