import { putBookings, putKits } from '../../features/devices/put-home-devices.ts'
import { putNotes } from '../../features/documents/put-notes.ts'
import { sql, type Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { Moving } from '../moving.ts'
import { roomsThere } from '../rooms-there.ts'
import type { MoveIn } from './move-body.ts'

const roomOfKit = sql('putting-right-room-of-kit', 'select location_id as "locationId" from kit where id = $1')

/** A kit that was left next door; its room is found there by name, or made. */
export async function moveKit(tx: Tx, act: Act, { id, intoId, reason }: MoveIn): Promise<Moving> {
  const { locationId } = (await tx.one<{ locationId: string | null }>(roomOfKit, [id]))!
  const rooms = await roomsThere(tx, act, locationId ? [locationId] : [], intoId)
  return {
    rooms,
    touched: { kit: [id] },
    told: rooms.told,
    write: tx =>
      putKits(tx, act, [{ id, propertyId: intoId, locationId: locationId && rooms.there.get(locationId)! }], reason),
  }
}

/** A monitor that was booked for the wrong home. */
export const moveBooking = async (_tx: Tx, act: Act, { id, intoId, reason }: MoveIn): Promise<Moving> => ({
  touched: { booking: [id] },
  told: [],
  write: tx => putBookings(tx, act, [{ id, propertyId: intoId }], reason),
})

/** A note or photo of another home: there it stands on the home itself. */
export const moveNote = async (_tx: Tx, act: Act, { id, intoId, reason }: MoveIn): Promise<Moving> => ({
  touched: { note: [id] },
  told: [],
  write: tx => putNotes(tx, act, [{ id, propertyId: intoId, subjectId: intoId }], reason),
})
