import type { Tx } from '../../platform/db/client.ts'
import { putFields, putFieldsOf } from '../../platform/db/put-fields.ts'
import type { Act } from '../../platform/db/record-write.ts'

export type CallbackChange = {
  readonly id: string
  readonly propertyId?: string
  readonly systemId?: string | null
  readonly voidedAt?: number | null
}

const fields = putFieldsOf({
  noun: 'callback',
  table: 'callback',
  fields: { propertyId: 'property_id uuid', systemId: 'system_id uuid', voidedAt: 'voided_at instant' },
  version: true,
  updatedAt: true,
  voidReason: true,
})

/** Puts callbacks where they belong, in or out of use; the caller has seen their homes and stands them anew. */
export const putCallbacks = (tx: Tx, act: Act, changes: readonly CallbackChange[], reason: string) =>
  putFields(tx, act, fields, changes, reason)
