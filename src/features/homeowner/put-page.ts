import type { Tx } from '../../platform/db/client.ts'
import { putFields, putFieldsOf } from '../../platform/db/put-fields.ts'
import type { Act } from '../../platform/db/record-write.ts'

type AtHome = { readonly id: string; readonly propertyId?: string }

const links = putFieldsOf({
  noun: 'homeowner_link',
  table: 'homeowner_link',
  fields: { propertyId: 'property_id uuid' },
  version: false,
  updatedAt: false,
  voidReason: false,
})
/** Says which home's page links open; the caller has seen to it that their owners may see it. */
export const putLinks = (tx: Tx, act: Act, changes: readonly AtHome[], reason: string) =>
  putFields(tx, act, links, changes, reason)

const reports = putFieldsOf({
  noun: 'homeowner_report',
  table: 'homeowner_report',
  fields: { propertyId: 'property_id uuid' },
  version: true,
  updatedAt: false,
  voidReason: false,
})
/** Says of which home something was sent in. */
export const putReports = (tx: Tx, act: Act, changes: readonly AtHome[], reason: string) =>
  putFields(tx, act, reports, changes, reason)
