import { z } from 'zod'
import { id, localDay } from '../../platform/http/scalars.ts'

export const chaseQuery = z.strictObject({
  propertyId: id.optional().meta({ description: 'Only what is at this home' }),
  deviceId: id.optional().meta({ description: 'Only this monitor, or kits of this lot' }),
  limit: z.coerce.number().int().min(1).max(200).default(50),
  cursor: z.string().max(500).optional(),
})

const chaseOut = z
  .object({
    kind: z.enum([
      'no-dates',
      'too-long',
      'not-posted',
      'no-answer',
      'lot-expired',
      'not-picked-up',
      'calibration-ends',
      'not-back',
      'booked-while-away',
      'booked-while-standing',
    ]),
    dueOn: localDay.meta({ description: 'The day by which it should have been done' }),
    overdue: z.boolean(),
    reason: z.string().meta({ description: 'Why it is to be chased, in words' }),
    nextStep: z.enum([
      'call-home',
      'call-laboratory',
      'plan-visit',
      'send-to-calibration',
      'get-it-back',
      'move-booking',
    ]),
    name: z.string().meta({ description: 'The monitor, or the kit by its number' }),
    deviceId: id.meta({ description: 'The monitor, or the lot that the kit is of' }),
    kitId: id.nullable(),
    testId: id.nullable(),
    propertyId: id.nullable().meta({ description: 'The home where it is, for who may see that home' }),
    address: z.string().nullable(),
    person: z.string().nullable().optional().meta({
      description: 'Whom to ask at that home. Left out for an app without contacts:read, as the phone number is',
    }),
    phone: z.string().nullable().optional(),
  })
  .meta({ id: 'Chase' })
export type ChaseOut = z.output<typeof chaseOut>

export const chaseListOut = z
  .object({
    items: z.array(chaseOut),
    next: z.string().nullable(),
    counts: z
      .object({
        monitorsOut: z.number().int(),
        kitsOut: z.number().int(),
        atLaboratory: z.number().int(),
        overdue: z.number().int(),
        neverReturned: z.number().int(),
      })
      .meta({ description: 'Of all devices that the caller sees, whatever is filtered' }),
  })
  .meta({ id: 'ChaseList' })
