import { z } from 'zod'
import { id } from '../../platform/http/scalars.ts'
import { asking } from '../asking.ts'

/** Two entries of one home. */
export const mergeHomesIn = z
  .strictObject({
    kind: z.literal('merge-homes'),
    id: id.meta({ description: 'The doubled entry, which is emptied and goes out of use' }),
    intoId: id.meta({ description: 'The entry that stays' }),
    ...asking,
  })
  .meta({ id: 'MergeHomes' })
export type MergeHomesIn = z.output<typeof mergeHomesIn>
