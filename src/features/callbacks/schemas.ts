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

/** What a caller says: a complaint, or that the home was sold or bought. */
export const reported = z.enum([...complaint.options, 'sold'])

/** What was asked when the call was taken, and what was said; empty answers are not worth keeping. */
const answers = z.array(z.strictObject({ question: filledText(500), answer: filledText(1000) })).max(12)

export const newCallback = z
  .strictObject({
    systemId: id.nullish(),
    complaint,
    reportedAt: instantIn.optional().meta({ description: 'Now when left out' }),
    reportedBy: text(200).default(''),
    reportedByCustomer: id.nullish(),
    channel: channel.default('phone'),
    description: text(4000).default(''),
    answers: answers.optional().meta({ description: 'The first questions with what was answered, in their order' }),
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

export const firstQuestionsQuery = z.strictObject({
  reported,
  systemId: id.optional().meta({ description: 'The system that is called about; the first active one when left out' }),
})
export const firstQuestionsOut = z
  .object({
    systemId: id.nullable(),
    questions: z.array(
      z.object({
        ask: z.string(),
        why: z.string(),
        meanings: z.array(z.object({ answer: z.string(), means: z.string() })),
        source: z.string().nullable().meta({ description: 'null: common practice, no source' }),
      }),
    ),
  })
  .meta({ id: 'FirstQuestions' })

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
    answers: z.array(z.object({ question: z.string(), answer: z.string() })),
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
