import { z } from 'zod'
import { filledText, id, instantIn, instantOut, text } from '../../platform/http/scalars.ts'

export const complaint = z.enum([
  'alarm',
  'gauge-at-zero',
  'gauge-changed',
  'noise',
  'water',
  'ice',
  'odour',
  'high-result',
  'damage',
  'power',
  'other',
])
export const channel = z.enum(['phone', 'mail', 'homeowner-page', 'app', 'in-person'])

export const newCallback = z
  .strictObject({
    systemId: id.nullish(),
    complaint,
    reportedAt: instantIn.optional().meta({ description: 'Now when left out' }),
    reportedBy: text(200).default(''),
    reportedByCustomer: id.nullish(),
    channel: channel.default('phone'),
    description: text(4000).default(''),
  })
  .meta({ id: 'NewCallback' })
export type NewCallback = z.output<typeof newCallback>

export const callbackCorrection = z
  .strictObject({
    systemId: id.nullish(),
    complaint: complaint.optional(),
    reportedAt: instantIn.optional(),
    reportedBy: text(200).optional(),
    channel: channel.optional(),
    description: text(4000).optional(),
    found: text(4000).optional(),
    done: text(4000).optional(),
    reason: filledText(500).optional(),
  })
  .meta({ id: 'CallbackCorrection' })
export type CallbackCorrection = z.output<typeof callbackCorrection>

/** A callback is closed with what was found and what was done: that is what the next one is understood from. */
export const closing = z
  .strictObject({ found: filledText(4000), done: filledText(4000), closedAt: instantIn.optional() })
  .meta({ id: 'CallbackClosing' })
export type Closing = z.output<typeof closing>

export const voiding = z.strictObject({ reason: filledText(500) })

export const callbackListQuery = z.strictObject({
  propertyId: id.optional(),
  open: z.enum(['true', 'false']).optional(),
  limit: z.coerce.number().int().min(1).max(200).default(50),
  cursor: z.string().max(500).optional(),
})

export const callbackOut = z
  .object({
    id,
    number: z.number().int().meta({ description: 'The number people say on the phone; never a key' }),
    propertyId: id,
    systemId: id.nullable(),
    complaint,
    reportedAt: instantOut,
    reportedBy: z.string(),
    reportedByCustomer: id.nullable(),
    channel,
    description: z.string(),
    found: z.string(),
    done: z.string(),
    closedAt: instantOut.nullable(),
    zone: z.string(),
    version: z.number().int(),
    createdAt: instantOut,
    updatedAt: instantOut,
    voidedAt: instantOut.nullable(),
    voidReason: z.string().nullable(),
  })
  .meta({ id: 'Callback' })

export const callbackList = z
  .object({ items: z.array(callbackOut), next: z.string().nullable() })
  .meta({ id: 'CallbackList' })
