import type { Tx } from '../platform/db/client.ts'
import { putFields, putFieldsOf } from '../platform/db/put-fields.ts'
import type { Act } from '../platform/db/record-write.ts'

const fields = putFieldsOf({
  noun: 'import',
  table: 'import_batch',
  fields: { propertyId: 'property_id uuid' },
  version: true,
  updatedAt: false,
  voidReason: false,
})

/** Says of which home imports are; the caller has seen the homes. */
export const putImports = (
  tx: Tx,
  act: Act,
  changes: readonly { readonly id: string; readonly propertyId?: string }[],
  reason: string,
) => putFields(tx, act, fields, changes, reason)
