import type { Tx } from '../../platform/db/client.ts'
import { putFields, putFieldsOf } from '../../platform/db/put-fields.ts'
import type { Act } from '../../platform/db/record-write.ts'

export type PartyPlace = { readonly id: string; readonly propertyId?: string; readonly voidedAt?: number | null }

const fields = putFieldsOf({
  noun: 'work_party',
  table: 'work_party',
  fields: { propertyId: 'property_id uuid', voidedAt: 'voided_at instant' },
  version: true,
  updatedAt: false,
  voidReason: true,
})

/** Puts parts in work at the home of the work, in or out of use; the caller has seen the homes. */
export const putParties = (tx: Tx, act: Act, changes: readonly PartyPlace[], reason: string) =>
  putFields(tx, act, fields, changes, reason)
