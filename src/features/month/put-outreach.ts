import type { Tx } from '../../platform/db/client.ts'
import { putFields, putFieldsOf } from '../../platform/db/put-fields.ts'
import type { Act } from '../../platform/db/record-write.ts'

const fields = putFieldsOf({
  noun: 'outreach',
  table: 'outreach',
  fields: { propertyId: 'property_id uuid' },
  version: true,
  updatedAt: false,
  voidReason: true,
})

/** Puts calls and puttings off at the home that they were about; the caller has seen the homes. */
export const putOutreach = (
  tx: Tx,
  act: Act,
  changes: readonly { readonly id: string; readonly propertyId?: string }[],
  reason: string,
) => putFields(tx, act, fields, changes, reason)
