import { at, sql, type Tx } from '../../platform/db/client.ts'
import type { FoundationArea, TestLocation } from './rows.ts'

const touch = sql(
  'property-touch',
  'update property set version = version + 1, updated_at = $2 where id = any($1::uuid[])',
)
/** A home shows its areas and locations, so its version moves when one of them does. */
export const touchProperties = (tx: Tx, now: number, ids: readonly string[]) => tx.rows(touch, [ids, at(now)])

const voidArea = sql(
  'property-void-area',
  'update foundation_area set voided_at = $2, version = version + 1 where id = $1',
)
export const markAreaVoided = (tx: Tx, now: number, id: string) => tx.rows(voidArea, [id, at(now)])

const updateKept = sql(
  'property-update-area',
  'update foundation_area set kind = $2, name = $3, area_m2 = $4, version = version + 1 where id = $1',
)
export const updateArea = (tx: Tx, row: FoundationArea) => tx.rows(updateKept, [row.id, row.kind, row.name, row.areaM2])

const update = sql(
  'property-update-location',
  `update test_location set name=$2, floor=$3, room_kind=$4, lived_in=$5, foundation_area_id=$6, note=$7,
     version = version + 1 where id = $1`,
)
export const updateLocation = (tx: Tx, row: TestLocation) =>
  tx.rows(update, [row.id, row.name, row.floor, row.roomKind, row.livedIn, row.foundationAreaId, row.note])

const voidLocation = sql(
  'property-void-location',
  'update test_location set voided_at = $2, version = version + 1 where id = $1',
)
export const markLocationVoided = (tx: Tx, now: number, id: string) => tx.rows(voidLocation, [id, at(now)])

const voidLocations = sql(
  'property-void-locations',
  `update test_location set voided_at = $2, version = version + 1 where id = any($1::uuid[])
   returning id, property_id as "propertyId", version`,
)
export const markLocationsVoided = (tx: Tx, now: number, ids: readonly string[]) =>
  tx.rows<{ id: string; propertyId: string; version: number }>(voidLocations, [ids, at(now)])
