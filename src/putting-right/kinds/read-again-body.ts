import { z } from 'zod'
import { id } from '../../platform/http/scalars.ts'
import { asking } from '../asking.ts'
import { toldAgain } from '../read-again/told-again.ts'

/** A committed import whose kept file is read in another way: another unit, another clock. */
export const readAgainIn = z
  .strictObject({
    kind: z.literal('read-again'),
    id: id.meta({ description: 'The import' }),
    told: toldAgain,
    ...asking,
  })
  .meta({ id: 'ReadAgainCorrection', description: 'A kept file that is read with another unit, clock or date order' })
export type ReadAgainIn = z.output<typeof readAgainIn>
