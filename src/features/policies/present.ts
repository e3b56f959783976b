import type { z } from 'zod'
import { instantText } from '../../platform/http/scalars.ts'
import type { PublishedPolicy } from './queries.ts'
import type { policyOut } from './schemas.ts'

export const presentPolicy = (policy: PublishedPolicy): z.input<typeof policyOut> => ({
  id: policy.id,
  code: policy.code,
  parentCode: policy.parentCode,
  title: policy.title,
  effectiveFrom: policy.effectiveFrom,
  effectiveUntil: policy.effectiveUntil,
  publishedAt: instantText(policy.publishedAt),
  body: policy.body,
})
