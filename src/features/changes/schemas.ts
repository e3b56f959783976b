import { z } from 'zod'
import { id, instantOut } from '../../platform/http/scalars.ts'

export const changesQuery = z.strictObject({
  after: z.string().max(200).optional().meta({
    description: 'The `next` of the answer before, or `latest` to begin now; left out, the oldest change kept',
  }),
  limit: z.coerce.number().int().min(1).max(200).default(100),
  wait: z.coerce
    .number()
    .min(0)
    .max(30)
    .default(0)
    .meta({ description: 'Seconds to wait for a change when there is none yet' }),
})
export type ChangesQuery = z.output<typeof changesQuery>

const change = z
  .object({
    position: z.string().meta({ description: 'Behind this change: an `after` to go on from' }),
    kind: z.string().meta({
      description: 'create, correct, move, restore; void and delete are tombstones: the record counts no longer',
      'x-extensible': true,
    }),
    noun: z.string().meta({ description: 'What kind of record', 'x-extensible': true }),
    id,
    propertyId: id.nullable().meta({ description: 'The home it belongs to' }),
    version: z.number().int().nullable(),
    occurredAt: instantOut,
  })
  .meta({ id: 'Change' })

export const changesOut = z
  .object({
    items: z.array(change),
    next: z.string().meta({ description: 'The `after` of the next question, also when nothing was new' }),
    more: z.boolean().meta({ description: 'Whether further changes can be read at once' }),
  })
  .meta({ id: 'Changes' })

/** The refusal that only the feed has. */
export const positionGone = {
  description: 'The position is older than changes are kept, or of before a restore',
  content: {
    'application/problem+json': {
      schema: z.object({
        type: z.url(),
        title: z.string(),
        status: z.literal(410),
        detail: z.string(),
        requestId: z.string(),
      }),
    },
  },
}

export const auditQuery = z.strictObject({
  who: z.enum(['', 'staff', 'app', 'homeowner', 'operator', 'system']).catch('').default(''),
  what: z.enum(['', 'read', 'write']).catch('').default(''),
  after: z
    .string()
    .regex(/^\d{0,18}$/)
    .catch('')
    .default(''),
})
export type AuditQuery = z.output<typeof auditQuery>
