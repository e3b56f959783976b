import { z } from 'zod'
import { id, text } from '../../platform/http/scalars.ts'
import { noteSubject, pictureFile } from './schemas.ts'

/** A note on a home or on a record of it: words, a photo, or both. */
export const noteForm = (homeId: string) =>
  z
    .strictObject({
      text: text(10_000).default(''),
      photo: pictureFile.optional(),
      subject: noteSubject.default('property'),
      subjectId: id.default(homeId),
    })
    .refine(note => note.text !== '' || note.photo !== undefined, {
      path: ['text'],
      message: 'Write something, or take a photo',
    })
