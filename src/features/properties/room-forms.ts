import { z } from 'zod'
import { filledText } from '../../platform/http/scalars.ts'
import { readTypedNumber } from '../../web/read-typed-number.ts'
import { newFoundationArea, newTestLocation } from './schemas.ts'

export const roomForm = z
  .strictObject({
    name: newTestLocation.shape.name,
    floor: z.coerce.number().int().min(-5).max(120).default(0),
    roomKind: newTestLocation.shape.roomKind,
    livedIn: z.enum(['yes', 'no']).optional(),
    foundationAreaId: newTestLocation.shape.foundationAreaId,
  })
  .transform(({ livedIn, ...room }) => ({ ...room, livedIn: livedIn === undefined ? null : livedIn === 'yes' }))

/** The same for a room that is corrected: every field is shown, so an empty one is not known. */
export const roomCorrectionForm = z
  .strictObject({
    name: newTestLocation.shape.name,
    floor: z.coerce.number().int().min(-5).max(120).default(0),
    roomKind: newTestLocation.shape.roomKind.default('room'),
    livedIn: z.enum(['yes', 'no']).optional(),
    foundationAreaId: newTestLocation.shape.foundationAreaId,
    reason: filledText(500),
    version: z.coerce.number().int().min(1),
  })
  .transform(({ livedIn, version, foundationAreaId, ...room }) => ({
    version,
    patch: {
      ...room,
      foundationAreaId: foundationAreaId ?? null,
      livedIn: livedIn === undefined ? null : livedIn === 'yes',
    },
  }))

const typedArea = z
  .string()
  .optional()
  .transform((typed, context) => {
    if (typed === undefined) return null
    const read = readTypedNumber(typed)
    if (read.ok && Number(read.value) > 0) return Number(read.value)
    context.addIssue(read.ok ? `“${typed}” is no area: write it like 92` : read.fault)
    return z.NEVER
  })

export const areaForm = z
  .strictObject({
    kind: newFoundationArea.shape.kind,
    areaName: newFoundationArea.shape.name,
    areaM2: typedArea,
  })
  .transform(({ areaName, ...area }) => ({ ...area, name: areaName }))

/** The same for an area that is corrected: an empty size is not known. */
export const areaCorrectionForm = z
  .strictObject({
    kind: newFoundationArea.shape.kind,
    areaName: newFoundationArea.shape.name,
    areaM2: typedArea,
    reason: filledText(500),
    version: z.coerce.number().int().min(1),
  })
  .transform(({ areaName, version, ...area }) => ({ version, patch: { ...area, name: areaName } }))

export const removalForm = z.strictObject({ why: filledText(500), version: z.coerce.number().int().min(1) })
