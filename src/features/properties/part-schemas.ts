import { z } from 'zod'
import { filledText } from '../../platform/http/scalars.ts'
import { newFoundationArea, newTestLocation } from './schemas.ts'

/** Merge patch (RFC 7396) of a test location. */
export const locationCorrection = newTestLocation
  .partial()
  .extend({ reason: filledText(500).meta({ description: 'Why; kept with the old values' }) })
  .meta({ id: 'TestLocationCorrection' })
export type LocationCorrection = z.output<typeof locationCorrection>

/** Merge patch (RFC 7396) of a foundation area. */
export const areaCorrection = newFoundationArea
  .partial()
  .extend({ reason: filledText(500).meta({ description: 'Why; kept with the old values' }) })
  .meta({ id: 'FoundationAreaCorrection' })
export type AreaCorrection = z.output<typeof areaCorrection>

export const partVoiding = z.strictObject({ reason: filledText(500) }).meta({ id: 'PartVoiding' })
