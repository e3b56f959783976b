import { z } from 'zod'
import { id } from '../../platform/http/scalars.ts'
import { asking } from '../asking.ts'
import { nounsToPutRight } from '../record-to-put-right.ts'

/** Something that should never have been recorded, or not so. */
export const voidIn = z
  .strictObject({
    kind: z.literal('void'),
    noun: z.enum(nounsToPutRight),
    id,
    ...asking,
  })
  .meta({
    id: 'VoidCorrection',
    description:
      'Takes a record out of the reckoning; it stays in the history, struck through. A home goes with all that hangs on it.',
  })
export type VoidIn = z.output<typeof voidIn>
