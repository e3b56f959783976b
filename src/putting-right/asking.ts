import { z } from 'zod'
import { filledText } from '../platform/http/scalars.ts'

/** What every correction is asked for with, whatever its kind. */
export const asking = {
  reason: filledText(500),
  dryRun: z
    .boolean()
    .optional()
    .meta({ description: 'Changes nothing and answers 200 with what would change, and its tag' }),
  tag: z.string().max(64).optional().meta({
    description: 'Of a preview: the correction is refused with 409 where it would change something else by now',
  }),
}
