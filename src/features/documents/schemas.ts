import { z } from 'zod'
import { filledText, id, instantOut, text } from '../../platform/http/scalars.ts'
import { isUploadedFile, type UploadedFile } from '../../platform/http/upload-body.ts'

export const noteSubject = z.enum(['property', 'customer', 'system', 'device', 'test', 'callback', 'visit'])
export type NoteSubject = z.output<typeof noteSubject>

export const newNote = z
  .strictObject({ subject: noteSubject, subjectId: id, text: filledText(10_000) })
  .meta({ id: 'NewNote' })

/** Bytes of an upload; what a phone's camera makes of 48 megapixels. */
export const photoLimit = 15 * 1024 * 1024

export const pictureFile = z
  .any()
  .refine(isUploadedFile, 'is no file: choose a picture')
  .transform(file => file as UploadedFile)
  .meta({ type: 'string', format: 'binary' })

export const newPhoto = z
  .strictObject({
    subject: noteSubject,
    subjectId: id,
    text: text(2000).optional().meta({ description: 'What the picture shows' }),
    photo: pictureFile,
  })
  .meta({ id: 'NewPhoto' })

export const noteVoiding = z.strictObject({ reason: filledText(500) }).meta({ id: 'NoteVoiding' })

export const noteListQuery = z.strictObject({
  subject: noteSubject.optional(),
  subjectId: id.optional(),
  propertyId: id.optional().meta({ description: 'Everything kept on a home and its records' }),
  limit: z.coerce.number().int().min(1).max(200).default(50),
  cursor: z.string().max(500).optional(),
})

export const noteOut = z
  .object({
    id,
    propertyId: id.nullable(),
    subject: noteSubject,
    subjectId: id,
    text: z.string(),
    photo: z.boolean().meta({ description: 'true: /v1/notes/{id}/photo and /thumbnail have it, as JPEG' }),
    by: z.string(),
    at: instantOut,
    version: z.number().int(),
    voidedAt: instantOut.nullable(),
    voidReason: z.string().nullable(),
  })
  .meta({ id: 'Note' })
export const noteList = z.object({ items: z.array(noteOut), next: z.string().nullable() }).meta({ id: 'NoteList' })
