import { z } from 'zod'
import { filledText, id, instantOut, localDay, text } from '../../platform/http/scalars.ts'

export const absenceKind = z.enum(['calibration', 'repair', 'lent', 'lost'])

const inOrder = {
  path: ['expectedBackOn'],
  error: 'lies before fromOn: correct one of the two',
}

export const newAbsence = z
  .strictObject({
    kind: absenceKind,
    fromOn: localDay,
    expectedBackOn: localDay.nullish(),
    place: text(200).optional(),
    note: text(2000).optional(),
  })
  .refine(({ fromOn, expectedBackOn }) => expectedBackOn == null || expectedBackOn >= fromOn, inOrder)
  .meta({ id: 'NewAbsence' })
export type NewAbsence = z.output<typeof newAbsence>

export const absenceCorrection = z
  .strictObject({
    expectedBackOn: localDay.nullish(),
    backOn: localDay.nullish().meta({ description: 'The day it was there again' }),
    place: text(200).optional(),
    note: text(2000).optional(),
    reason: filledText(500).optional(),
  })
  .meta({ id: 'AbsenceCorrection' })
export type AbsenceCorrection = z.output<typeof absenceCorrection>

export const absenceOut = z
  .object({
    id,
    deviceId: id,
    kind: absenceKind,
    fromOn: localDay,
    expectedBackOn: localDay.nullable(),
    backOn: localDay.nullable(),
    place: z.string(),
    note: z.string(),
    version: z.number().int(),
    createdAt: instantOut,
    voidedAt: instantOut.nullable(),
    voidReason: z.string().nullable(),
  })
  .meta({ id: 'Absence' })

export const absenceList = z.object({ items: z.array(absenceOut) }).meta({ id: 'AbsenceList' })
