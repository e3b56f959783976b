import { z } from 'zod'
import { id } from '../../platform/http/scalars.ts'
import { customerCorrection, newCustomer } from './schemas.ts'

/** The form of a new customer: an empty field says nothing. */
export const customerForm = newCustomer

const filled = customerCorrection.omit({ mailsStopped: true }).shape

/**
 * The form that corrects one shows every field, so a field that comes back empty was emptied: it clears.
 * `version` is the one the form was filled from.
 */
export const correctionForm = z
  .strictObject({ ...filled, mailsStopped: z.enum(['yes']).optional(), version: z.coerce.number().int().min(1) })
  .transform(({ version, mailsStopped, ...said }) => ({
    version,
    patch: {
      ...said,
      email: said.email ?? null,
      phone: said.phone ?? null,
      street: said.street ?? '',
      city: said.city ?? '',
      region: said.region ?? '',
      postcode: said.postcode ?? '',
      country: said.country ?? '',
      note: said.note ?? '',
      mailsStopped: mailsStopped === 'yes',
    },
  }))

export const voidForm = z.strictObject({
  reason: customerCorrection.shape.reason,
  version: z.coerce.number().int().min(1),
})

export const peopleQuery = z.strictObject({
  q: z.string().max(100).optional(),
  after: z.string().max(400).optional(),
})
export const pageParams = z.strictObject({ id })
