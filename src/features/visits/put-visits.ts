import type { Tx } from '../../platform/db/client.ts'
import { putFields, putFieldsOf } from '../../platform/db/put-fields.ts'
import type { Act } from '../../platform/db/record-write.ts'

export type VisitChange = {
  readonly id: string
  readonly propertyId?: string
  readonly testId?: string | null
  readonly callbackId?: string | null
  readonly voidedAt?: number | null
}

const fields = putFieldsOf({
  noun: 'visit',
  table: 'visit',
  fields: {
    propertyId: 'property_id uuid',
    testId: 'test_id uuid',
    callbackId: 'callback_id uuid',
    voidedAt: 'voided_at instant',
  },
  version: true,
  updatedAt: true,
  voidReason: true,
})

/** Puts visits where they belong, in or out of use; the caller has seen their homes. */
export const putVisits = (tx: Tx, act: Act, changes: readonly VisitChange[], reason: string) =>
  putFields(tx, act, fields, changes, reason)
