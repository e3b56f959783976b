import { z } from 'zod'
import { filledText, id, localDay } from '../../platform/http/scalars.ts'

export const workSubject = z.enum(['test', 'visit', 'callback', 'system'])
export const workPart = z.enum(['ordered', 'pays', 'may-see'])

export const partyQuery = z.strictObject({
  subject: workSubject.optional(),
  subjectId: id.optional().meta({ description: 'One piece of work; needs `subject` beside it' }),
})

export const newParty = z
  .strictObject({
    subject: workSubject,
    subjectId: id,
    customerId: id,
    part: workPart.meta({
      description:
        '`may-see` rules whom the company sends a test’s result to: where somebody is named, to nobody else; else to ' +
        'whoever ordered it; else to the owner.',
    }),
    firstOn: localDay.nullish().meta({ description: 'Local to the home; from the beginning when left out' }),
    lastOn: localDay.nullish().meta({ description: 'The last day on which it holds; without an end when left out' }),
  })
  .meta({ id: 'NewWorkParty' })
export type NewParty = z.output<typeof newParty>

export const partyEnd = z.strictObject({ lastOn: localDay }).meta({ id: 'WorkPartyEnd' })
export const partyVoiding = z.strictObject({ reason: filledText(500) }).meta({ id: 'WorkPartyVoiding' })

export const partyOut = z
  .object({
    id,
    subject: workSubject,
    subjectId: id,
    customerId: id,
    name: z.string().optional().meta({ description: 'Left out for an app without contacts:read' }),
    part: workPart,
    firstOn: localDay.nullable(),
    lastOn: localDay.nullable(),
    version: z.number().int(),
  })
  .meta({ id: 'WorkParty' })
export const partyList = z.object({ items: z.array(partyOut) }).meta({ id: 'WorkPartyList' })
