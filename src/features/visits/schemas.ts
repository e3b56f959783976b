import { z } from 'zod'
import { filledText, id, instantIn, instantOut, text } from '../../platform/http/scalars.ts'

/** Why somebody drives there, in the trade's words. */
export const visitPurpose = z.enum([
  'bid',
  'diagnostics',
  'installation',
  'return-trip',
  'set-device',
  'pick-up-device',
  'gauge-check',
  'callback',
  'paid-service-call',
  'other',
])
export const visitOutcome = z.enum(['', 'done', 'partly-done', 'nobody-home', 'called-off'])

const own = {
  startsAt: instantIn,
  endsAt: instantIn.nullish(),
  callbackId: id.nullish(),
  testId: id.nullish(),
  instructions: text(4000).optional(),
  crew: z.array(id).max(20).optional().meta({ description: 'Ids of the people who go' }),
}

export const newVisit = z.strictObject({ purpose: visitPurpose, ...own }).meta({ id: 'NewVisit' })
export type NewVisit = z.output<typeof newVisit>

export const visitCorrection = z
  .strictObject({
    purpose: visitPurpose.optional(),
    ...own,
    startsAt: instantIn.optional(),
    reason: filledText(500).optional(),
  })
  .meta({ id: 'VisitCorrection' })
export type VisitCorrection = z.output<typeof visitCorrection>

/** How it went: said by the crew, on the spot. */
export const visitReport = z
  .strictObject({
    outcome: visitOutcome.exclude(['']),
    outcomeNote: text(4000).optional(),
    arrivedAt: instantIn.nullish(),
    doneAt: instantIn.optional().meta({ description: 'Now when left out' }),
  })
  .meta({ id: 'VisitReport' })
export type VisitReport = z.output<typeof visitReport>

export const voiding = z.strictObject({ reason: filledText(500) })

export const visitListQuery = z.strictObject({
  propertyId: id.optional(),
  limit: z.coerce.number().int().min(1).max(200).default(50),
  cursor: z.string().max(500).optional(),
})

export const visitOut = z
  .object({
    id,
    propertyId: id,
    purpose: visitPurpose,
    startsAt: instantOut,
    endsAt: instantOut.nullable(),
    callbackId: id.nullable(),
    testId: id.nullable(),
    instructions: z.string(),
    crew: z.array(z.object({ id, name: z.string() })),
    outcome: visitOutcome,
    outcomeNote: z.string(),
    arrivedAt: instantOut.nullable(),
    doneAt: instantOut.nullable(),
    zone: z.string(),
    version: z.number().int(),
    createdAt: instantOut,
    updatedAt: instantOut,
    voidedAt: instantOut.nullable(),
    voidReason: z.string().nullable(),
  })
  .meta({ id: 'Visit' })

export const visitList = z.object({ items: z.array(visitOut), next: z.string().nullable() }).meta({ id: 'VisitList' })
