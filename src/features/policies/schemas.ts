import { z } from 'zod'
import { policySchema } from '../../domain/policy/policy-schema.ts'
import { id, instantOut, localDay } from '../../platform/http/scalars.ts'

export const policyListQuery = z.strictObject({
  limit: z.coerce.number().int().min(1).max(200).default(50),
  cursor: z.string().max(500).optional(),
})

export const policyOut = z
  .object({
    id,
    code: z.string(),
    parentCode: z.string().nullable(),
    title: z.string(),
    effectiveFrom: localDay,
    effectiveUntil: localDay.nullable(),
    publishedAt: instantOut,
    body: policySchema,
  })
  .meta({ id: 'Policy', description: 'One immutable version of a rule set; every rule says where it stands' })

export const policyList = z
  .object({ items: z.array(policyOut), next: z.string().nullable() })
  .meta({ id: 'PolicyList' })
