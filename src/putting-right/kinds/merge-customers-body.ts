import { z } from 'zod'
import { id } from '../../platform/http/scalars.ts'
import { asking } from '../asking.ts'

const from = z.enum(['kept', 'other'])

/** Which entry each detail is taken from; what is left out comes from the one that stays, or from the other where that knows nothing. */
export const detailChoice = z
  .strictObject({
    kind: from,
    name: from,
    email: from,
    phone: from,
    address: from.meta({ description: 'Street, town, region, postcode and country together' }),
    language: from,
    preferredChannel: from,
    note: z.enum(['kept', 'other', 'both']),
  })
  .partial()
  .meta({ id: 'DetailChoice' })

/** Two entries of one person. */
export const mergeCustomersIn = z.strictObject({
  kind: z.literal('merge-customers'),
  id: id.meta({ description: 'The doubled entry, which goes out of use' }),
  intoId: id.meta({ description: 'The entry that stays' }),
  choose: detailChoice.optional(),
  ...asking,
})
export type MergeCustomersIn = z.output<typeof mergeCustomersIn>
