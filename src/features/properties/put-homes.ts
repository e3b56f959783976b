import type { Tx } from '../../platform/db/client.ts'
import { putFields, putFieldsOf } from '../../platform/db/put-fields.ts'
import type { Act } from '../../platform/db/record-write.ts'

type Change = { readonly id: string; readonly propertyId?: string; readonly voidedAt?: number | null }

const homes = putFieldsOf({
  noun: 'property',
  table: 'property',
  fields: { voidedAt: 'voided_at instant', mergedIntoId: 'merged_into_id uuid', yearBuilt: 'year_built int' },
  version: true,
  updatedAt: true,
  voidReason: true,
  home: 'r.id',
})
/** Puts homes in or out of use, and says which one a doubled home went into; the caller holds and stands them anew. */
export const putHomes = (
  tx: Tx,
  act: Act,
  changes: readonly { readonly id: string; readonly voidedAt: number | null; readonly mergedIntoId?: string | null }[],
  reason: string,
) => putFields(tx, act, homes, changes, reason)

/** Puts the year homes were built in; the caller holds and stands them anew. */
export const putYearsBuilt = (
  tx: Tx,
  act: Act,
  changes: readonly { readonly id: string; readonly yearBuilt: number | null }[],
  reason: string,
) => putFields(tx, act, homes, changes, reason)

const rooms = putFieldsOf({
  noun: 'test_location',
  table: 'test_location',
  fields: {
    propertyId: 'property_id uuid',
    foundationAreaId: 'foundation_area_id uuid',
    voidedAt: 'voided_at instant',
  },
  version: true,
  updatedAt: false,
  voidReason: false,
})
/** Puts rooms at homes, in or out of use. */
export const putRooms = (
  tx: Tx,
  act: Act,
  changes: readonly (Change & { readonly foundationAreaId?: string | null })[],
  reason: string,
) => putFields(tx, act, rooms, changes, reason)

const areas = putFieldsOf({
  noun: 'foundation_area',
  table: 'foundation_area',
  fields: { propertyId: 'property_id uuid', voidedAt: 'voided_at instant' },
  version: true,
  updatedAt: false,
  voidReason: false,
})
/** Puts foundation areas at homes, in or out of use. */
export const putAreas = (tx: Tx, act: Act, changes: readonly Change[], reason: string) =>
  putFields(tx, act, areas, changes, reason)

const events = putFieldsOf({
  noun: 'home_event',
  table: 'home_event',
  fields: { propertyId: 'property_id uuid', voidedAt: 'voided_at instant' },
  version: true,
  updatedAt: false,
  voidReason: true,
})
/** Puts what happened at a home at the home where it happened, in or out of the reckoning. */
export const putEvents = (tx: Tx, act: Act, changes: readonly Change[], reason: string) =>
  putFields(tx, act, events, changes, reason)
