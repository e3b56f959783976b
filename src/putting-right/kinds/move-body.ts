import { z } from 'zod'
import { id } from '../../platform/http/scalars.ts'
import { asking } from '../asking.ts'
import { nounsOfHome } from '../record-to-put-right.ts'

/** Something recorded at one home that belongs to another. */
export const moveIn = z
  .strictObject({
    kind: z.literal('move'),
    noun: z.enum(nounsOfHome),
    id,
    intoId: id.meta({ description: 'The home it belongs to' }),
    ...asking,
  })
  .meta({ id: 'MoveCorrection', description: 'Something recorded at one home that belongs to another' })
export type MoveIn = z.output<typeof moveIn>
