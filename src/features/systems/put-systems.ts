import type { Tx } from '../../platform/db/client.ts'
import { putFields, putFieldsOf } from '../../platform/db/put-fields.ts'
import type { Act } from '../../platform/db/record-write.ts'

export type SystemChange = { readonly id: string; readonly propertyId?: string; readonly voidedAt?: number | null }

const fields = putFieldsOf({
  noun: 'system',
  table: 'system',
  fields: { propertyId: 'property_id uuid', voidedAt: 'voided_at instant' },
  version: true,
  updatedAt: true,
  voidReason: true,
})

/** Puts systems where they belong, in or out of use, with all their parts; the caller stands their homes anew. */
export const putSystems = (tx: Tx, act: Act, changes: readonly SystemChange[], reason: string) =>
  putFields(tx, act, fields, changes, reason)

const points = putFieldsOf({
  noun: 'suction_point',
  table: 'suction_point',
  fields: { foundationAreaId: 'foundation_area_id uuid' },
  version: false,
  updatedAt: false,
  voidReason: false,
  home: '(select s.property_id from system s where s.id = r.system_id)',
})

/** Says through which part of the foundation suction points go. */
export const putSuctionPoints = (
  tx: Tx,
  act: Act,
  changes: readonly { readonly id: string; readonly foundationAreaId: string | null }[],
  reason: string,
) => putFields(tx, act, points, changes, reason)
