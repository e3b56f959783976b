import { z } from 'zod'
import { edtfDays } from '../../domain/calendar/edtf.ts'
import { filledText, id, instantIn, instantOut, localDay, text } from '../../platform/http/scalars.ts'

export const personRole = z.enum([
  'co-owner',
  'occupant',
  'tenant',
  'property-manager',
  'buyer',
  'seller',
  'buyers-agent',
  'sellers-agent',
  'builder',
  'closing-office',
  'neighbour',
])
const edtf = z
  .string()
  .max(25)
  .refine(text => edtfDays(text) !== null, 'is no rough date: write it like 2011, 2011-21 (spring) or 2009?')

export const newPerson = z
  .strictObject({ customerId: id, role: personRole, fromOn: localDay.nullish(), untilOn: localDay.nullish() })
  .meta({ id: 'NewPropertyPerson' })
export type NewPerson = z.output<typeof newPerson>

export const ownerChange = z
  .strictObject({
    customerId: id.meta({ description: 'The new owner' }),
    onDay: localDay.nullish().meta({ description: 'The new owner’s first day, local to the home' }),
    roughly: edtf.nullish().meta({ description: 'Where the day is not known' }),
    because: z.enum(['sale', 'inheritance', 'gift', 'correction', 'unknown']),
  })
  .meta({ id: 'OwnerChange' })
export type OwnerChange = z.output<typeof ownerChange>

const around = {
  id,
  customerId: id,
  name: z.string().optional().meta({ description: 'Left out for an app without contacts:read' }),
  email: z.string().nullable().optional(),
  phone: z.string().nullable().optional(),
  fromOn: localDay.nullable(),
  untilOn: localDay.nullable(),
  version: z.number().int(),
}
export const ownershipOut = z.object({ ...around, roughly: z.string().nullable() }).meta({ id: 'Ownership' })
export const ownershipList = z.object({ items: z.array(ownershipOut) }).meta({ id: 'OwnershipList' })
export const personOut = z.object({ ...around, role: personRole }).meta({ id: 'PropertyPerson' })
export const personList = z.object({ items: z.array(personOut) }).meta({ id: 'PropertyPersonList' })

export const personEnd = z.strictObject({ untilOn: localDay }).meta({ id: 'PropertyPersonEnd' })

export const homeEventKind = z.enum([
  'addition',
  'renovation',
  'newly-lived-in',
  'heating-change',
  'ventilation-change',
  'new-opening',
  'quake-or-blasting',
  'sale',
])
export const newHomeEvent = z
  .strictObject({
    kind: homeEventKind,
    at: instantIn.nullish(),
    roughly: edtf.nullish().meta({ description: 'Where the instant is not known' }),
    note: text(2000).optional(),
  })
  .meta({ id: 'NewHomeEvent' })
export type NewHomeEvent = z.output<typeof newHomeEvent>

export const homeEventOut = z
  .object({
    id,
    kind: homeEventKind,
    at: instantOut.nullable(),
    roughly: z.string().nullable(),
    note: z.string(),
    version: z.number().int(),
    createdAt: instantOut,
    voidedAt: instantOut.nullable(),
    voidReason: z.string().nullable(),
  })
  .meta({ id: 'HomeEvent' })
export const homeEventList = z.object({ items: z.array(homeEventOut) }).meta({ id: 'HomeEventList' })
export const eventVoiding = z.strictObject({ reason: filledText(500) }).meta({ id: 'HomeEventVoiding' })
