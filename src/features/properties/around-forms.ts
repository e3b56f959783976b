import { z } from 'zod'
import { filledText, id } from '../../platform/http/scalars.ts'
import { ownerChange, personRole } from './people-schemas.ts'

/** Somebody known already, by mail address, or somebody new by name; a day as people type it. */
const somebody = {
  name: filledText(200).optional(),
  phone: filledText(40).optional(),
  email: z.email('is no mail address: write it like name@example.com').optional(),
}

export const ownerForm = z.strictObject({
  ...somebody,
  onDay: filledText(40).optional(),
  roughly: ownerChange.shape.roughly,
  because: ownerChange.shape.because,
  /** Where the form stood, to go back to. */
  back: z.literal('phone').optional(),
})
export const personForm = z.strictObject({
  ...somebody,
  role: personRole,
  fromOn: filledText(40).optional(),
})
export const endForm = z.strictObject({
  personId: id,
  version: z.coerce.number().int().min(1),
})
export type Somebody = { readonly name?: string; readonly phone?: string; readonly email?: string }
