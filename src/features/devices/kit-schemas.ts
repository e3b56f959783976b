import { z } from 'zod'
import { filledText, id, instantOut, localDay, text } from '../../platform/http/scalars.ts'

export const kitMethod = z.enum(['activated-charcoal', 'liquid-scintillation', 'alpha-track', 'electret'])
export const kitPurpose = z.enum(['pre-mitigation', 'post-mitigation', 'retest', 'real-estate', 'follow-up'])
export const kitState = z.enum(['left', 'in-place', 'to-post', 'posted', 'answered', 'returned', 'lost'])

const days = {
  exposedFrom: localDay.nullish(),
  exposedTo: localDay.nullish(),
  postedOn: localDay.nullish(),
}
const where = {
  locationId: id.nullish(),
  customerId: id.nullish().meta({ description: 'The person it was left with, if on record' }),
  leftWith: text(200).optional(),
  note: text(2000).optional(),
}

export const newKit = z
  .strictObject({
    deviceId: id.meta({ description: 'The lot it comes from' }),
    number: filledText(60),
    purpose: kitPurpose,
    leftOn: localDay,
    ...where,
    ...days,
  })
  .meta({ id: 'NewKit' })
export type NewKit = z.output<typeof newKit>

export const kitCorrection = z
  .strictObject({
    number: filledText(60).optional(),
    purpose: kitPurpose.optional(),
    leftOn: localDay.optional(),
    ...where,
    ...days,
    returnedOn: localDay.nullish().meta({ description: 'Came back unused' }),
    lostOn: localDay.nullish(),
    reason: filledText(500).optional().meta({ description: 'Needed when a day that was known is changed' }),
  })
  .meta({ id: 'KitCorrection' })
export type KitCorrection = z.output<typeof kitCorrection>

export const kitListQuery = z.strictObject({
  propertyId: id.optional(),
  deviceId: id.optional(),
  limit: z.coerce.number().int().min(1).max(200).default(50),
  cursor: z.string().max(500).optional(),
})

export const kitOut = z
  .object({
    id,
    deviceId: id,
    number: z.string(),
    propertyId: id,
    locationId: id.nullable(),
    customerId: id.nullable(),
    leftWith: z.string(),
    purpose: kitPurpose,
    leftOn: localDay,
    exposedFrom: localDay.nullable(),
    exposedTo: localDay.nullable(),
    postedOn: localDay.nullable(),
    answeredOn: localDay.nullable(),
    returnedOn: localDay.nullable(),
    lostOn: localDay.nullable(),
    state: kitState,
    testId: id.nullable().meta({ description: 'The test that holds its answer, or waits for it' }),
    note: z.string(),
    version: z.number().int(),
    createdAt: instantOut,
    updatedAt: instantOut,
    voidedAt: instantOut.nullable(),
    voidReason: z.string().nullable(),
  })
  .meta({ id: 'Kit' })

export const kitList = z.object({ items: z.array(kitOut), next: z.string().nullable() }).meta({ id: 'KitList' })

const someDays = z.number().int().min(1).max(1000)
export const kitLimitChange = z
  .strictObject({
    askAfterDays: someDays.optional(),
    longestExposureDays: someDays.optional(),
    laboratoryWithinDays: someDays
      .nullish()
      .meta({ description: 'From the end of the exposure; null: no laboratory reads it' }),
    answerWithinDays: someDays.optional(),
    source: text(300).optional().meta({ description: 'Where these days come from' }),
  })
  .meta({ id: 'KitLimitChange' })
export type KitLimitChange = z.output<typeof kitLimitChange>

export const kitLimitOut = z
  .object({
    method: kitMethod,
    askAfterDays: z.number().int(),
    longestExposureDays: z.number().int(),
    laboratoryWithinDays: z.number().int().nullable(),
    answerWithinDays: z.number().int(),
    source: z.string(),
    version: z.number().int(),
    updatedAt: instantOut,
  })
  .meta({ id: 'KitLimit' })
export const kitLimitList = z.object({ items: z.array(kitLimitOut) }).meta({ id: 'KitLimitList' })
