import type { Tx } from '../../platform/db/client.ts'
import { putFields, putFieldsOf } from '../../platform/db/put-fields.ts'
import type { Act } from '../../platform/db/record-write.ts'

const kits = putFieldsOf({
  noun: 'kit',
  table: 'kit',
  fields: { propertyId: 'property_id uuid', locationId: 'location_id uuid', voidedAt: 'voided_at instant' },
  version: true,
  updatedAt: true,
  voidReason: true,
})
export type KitChange = {
  readonly id: string
  readonly propertyId?: string
  readonly locationId?: string | null
  readonly voidedAt?: number | null
}
/** Puts kits at the homes they were left at, in or out of use; the caller has seen the homes. */
export const putKits = (tx: Tx, act: Act, changes: readonly KitChange[], reason: string) =>
  putFields(tx, act, kits, changes, reason)

const bookings = putFieldsOf({
  noun: 'booking',
  table: 'device_booking',
  fields: { propertyId: 'property_id uuid', voidedAt: 'voided_at instant' },
  version: true,
  updatedAt: false,
  voidReason: true,
})
export type BookingChange = { readonly id: string; readonly propertyId?: string; readonly voidedAt?: number | null }
/** Puts bookings of monitors at the homes they are for, in or out of use. */
export const putBookings = (tx: Tx, act: Act, changes: readonly BookingChange[], reason: string) =>
  putFields(tx, act, bookings, changes, reason)
