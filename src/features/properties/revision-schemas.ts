import { z } from 'zod'
import { id, instantOut } from '../../platform/http/scalars.ts'

export const historyQuery = z.strictObject({
  limit: z.coerce.number().int().min(1).max(200).default(50),
  cursor: z.string().max(500).optional(),
})

export const revisionOut = z
  .object({
    id,
    noun: z.string().meta({ description: 'What was changed: property, test, system, …' }),
    nounId: id,
    version: z.number().int().meta({ description: 'The version the change made' }),
    was: z.record(z.string(), z.unknown()).optional().meta({ description: 'The values it replaced' }),
    reason: z.string(),
    byKind: z.enum(['staff', 'app', 'homeowner', 'operator', 'system']),
    byId: id.nullable(),
    at: instantOut,
  })
  .meta({ id: 'Revision' })
export const revisionList = z
  .object({ items: z.array(revisionOut), next: z.string().nullable() })
  .meta({ id: 'RevisionList' })
