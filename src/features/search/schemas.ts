import { z } from 'zod'
import { filledText, id, localDay } from '../../platform/http/scalars.ts'

export const searchQuery = z.strictObject({
  q: filledText(200).meta({
    description: 'Any part of what is remembered',
    examples: ['12 kestrel', '555 0142', 'UL-4006'],
  }),
  limit: z.coerce.number().int().min(1).max(50).default(10),
})

const matchKind = z.enum([
  'address',
  'postcode',
  'owner',
  'former-owner',
  'person',
  'former-name',
  'phone',
  'email',
  'tag',
  'serial',
  'device',
  'kit',
])

const hit = z
  .object({
    propertyId: id,
    address: z.string(),
    outcome: z.string().nullable(),
    nextDueOn: localDay.nullable(),
    matched: z.array(
      z.object({
        kind: matchKind,
        text: z.string(),
        recordId: id.meta({
          description: 'The record whose text it is: property, customer, system, component, device, exposure',
        }),
      }),
    ),
    exact: z.boolean().meta({ description: 'The whole query is a code of this home' }),
  })
  .meta({ id: 'SearchHit' })
export const searchAnswer = z.object({ items: z.array(hit) }).meta({ id: 'SearchAnswer' })
