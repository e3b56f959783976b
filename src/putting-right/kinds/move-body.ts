import { z } from 'zod'
import { filledText, id } from '../../platform/http/scalars.ts'

/** Something recorded at one home that belongs to another. */
export const moveIn = z.strictObject({
  kind: z.literal('move'),
  noun: z.enum(['test']),
  id,
  intoId: id.meta({ description: 'The home it belongs to' }),
  reason: filledText(500),
})
export type MoveIn = z.output<typeof moveIn>
