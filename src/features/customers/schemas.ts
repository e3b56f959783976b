import { z } from 'zod'
import { filledText, id, instantOut, text } from '../../platform/http/scalars.ts'

export const customerKind = z.enum(['person', 'company'])
export const preferredChannel = z.enum(['email', 'phone', 'letter'])

// A line break in a name or an address would end a header of the mails it is printed in.
const oneLine = (line: string) => !/[\r\n]/.test(line)
const line = (max: number) => text(max).refine(oneLine, 'is one line: remove the line break')
const filledLine = (max: number) => filledText(max).refine(oneLine, 'is one line: remove the line break')

const email = z.email('is no mail address: write it like name@example.com').max(254)
const phone = filledLine(40).meta({
  description: 'Any usual way of writing it; kept as E.164',
  examples: ['(612) 555-0123'],
})
const country = z.string().regex(/^[A-Z]{2}$/, 'is no ISO 3166-1 code: write two capitals, like US')
const language = z.string().regex(/^[a-z]{2,3}(-[A-Z]{2})?$/, 'is no language tag: write it like en or fr-CA')

const details = {
  kind: customerKind.optional(),
  email: email.nullish(),
  phone: phone.nullish(),
  street: line(200).optional(),
  city: line(100).optional(),
  region: line(60).optional(),
  postcode: line(20).optional(),
  country: z.union([country, z.literal('')]).optional(),
  language: language.optional(),
  preferredChannel: preferredChannel.optional(),
  note: text(4000).optional(),
}

export const newCustomer = z.strictObject({ name: filledLine(200), ...details }).meta({ id: 'NewCustomer' })
export type NewCustomer = z.output<typeof newCustomer>

/** Merge patch (RFC 7396): what is named changes, null clears. */
export const customerCorrection = z
  .strictObject({
    name: filledLine(200).optional(),
    ...details,
    mailsStopped: z.boolean().optional().meta({ description: 'true: no reminder is mailed to them any more' }),
    reason: filledText(500).meta({ description: 'Why; kept with the old values' }),
  })
  .meta({ id: 'CustomerCorrection' })
export type CustomerCorrection = z.output<typeof customerCorrection>

export const customerVoiding = z.strictObject({ reason: filledText(500) }).meta({ id: 'CustomerVoiding' })

export const customerListQuery = z.strictObject({
  name: filledText(100).optional().meta({ description: 'Part of the name' }),
  email: filledText(254).optional().meta({ description: 'The whole address; needs contacts:read' }),
  propertyId: id.optional().meta({ description: 'Owners, former owners and other people of this home' }),
  limit: z.coerce.number().int().min(1).max(200).default(50),
  cursor: z.string().max(500).optional(),
})

/** Contact data (e-mail, phone, postal address, note) is left out for an app without `contacts:read`. */
export const customerOut = z
  .object({
    id,
    kind: customerKind,
    name: z.string(),
    email: z.string().nullable().optional(),
    phone: z.string().nullable().optional().meta({ description: 'E.164' }),
    street: z.string().optional(),
    city: z.string().optional(),
    region: z.string().optional(),
    postcode: z.string().optional(),
    country: z.string().optional(),
    note: z.string().optional(),
    language: z.string(),
    preferredChannel,
    mailsStoppedAt: instantOut.nullable(),
    mailRefusedAt: instantOut
      .nullable()
      .meta({ description: 'A mail server said for good that this address does not exist' }),
    version: z.number().int(),
    createdAt: instantOut,
    updatedAt: instantOut,
    voidedAt: instantOut.nullable(),
    voidReason: z.string().nullable(),
    mergedIntoId: id.nullable().meta({ description: 'It was a doubled entry: the one that stays' }),
  })
  .meta({ id: 'Customer' })

export const customerList = z
  .object({ items: z.array(customerOut), next: z.string().nullable() })
  .meta({ id: 'CustomerList' })
