import { z } from 'zod'
import { filledText, id, instantIn, instantOut, text } from '../../platform/http/scalars.ts'

export const newBooking = z
  .strictObject({
    deviceId: id.meta({ description: 'A monitor' }),
    from: instantIn,
    until: instantIn.meta({ description: 'When it is free again: picked up and brought back' }),
    note: text(500).optional(),
  })
  .refine(({ from, until }) => until > from, {
    path: ['until'],
    error: 'is not after from: correct one of the two',
  })
  .meta({ id: 'NewBooking' })
export type NewBooking = z.output<typeof newBooking>

export const bookingChange = z
  .strictObject({
    deviceId: id.optional().meta({ description: 'Another monitor' }),
    propertyId: id.optional().meta({ description: 'Another home' }),
    from: instantIn.optional(),
    until: instantIn.optional(),
    note: text(500).optional(),
    reason: filledText(500).optional(),
  })
  .meta({ id: 'BookingChange' })
export type BookingChange = z.output<typeof bookingChange>

export const bookingListQuery = z.strictObject({
  propertyId: id.optional(),
  deviceId: id.optional(),
  limit: z.coerce.number().int().min(1).max(200).default(50),
  cursor: z.string().max(500).optional(),
})

export const bookingOut = z
  .object({
    id,
    deviceId: id,
    propertyId: id,
    from: instantOut,
    until: instantOut,
    endedAt: instantOut.nullable().meta({ description: 'When it ended early, its test having been picked up' }),
    note: z.string(),
    version: z.number().int(),
    createdAt: instantOut,
    voidedAt: instantOut.nullable(),
    voidReason: z.string().nullable(),
  })
  .meta({ id: 'Booking' })

export const bookingList = z
  .object({ items: z.array(bookingOut), next: z.string().nullable() })
  .meta({ id: 'BookingList' })
