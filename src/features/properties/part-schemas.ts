import { z } from 'zod'
import { filledText } from '../../platform/http/scalars.ts'
import { newTestLocation } from './schemas.ts'

/** Merge patch (RFC 7396) of a test location. */
export const locationCorrection = newTestLocation
  .partial()
  .extend({ reason: filledText(500).meta({ description: 'Why; kept with the old values' }) })
  .meta({ id: 'TestLocationCorrection' })
export type LocationCorrection = z.output<typeof locationCorrection>

export const partVoiding = z.strictObject({ reason: filledText(500) }).meta({ id: 'PartVoiding' })
