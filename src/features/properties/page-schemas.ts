import { z } from 'zod'
import { id } from '../../platform/http/scalars.ts'

export const homesQuery = z.strictObject({
  show: z.enum(['all', 'due', 'at-or-above', 'needs-follow-up', 'undetermined', 'below']).catch('all').default('all'),
  after: z.string().max(200).optional(),
})
export const homeParams = z.strictObject({ id })

export const partPageParams = z.strictObject({ id, partId: id })
