import { putBookings, putKits } from '../features/devices/put-home-devices.ts'
import { putNotes } from '../features/documents/put-notes.ts'
import { putParties } from '../features/parties/put-parties.ts'
import { sql, type Tx } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import type { RoomsThere } from './rooms-there.ts'

/** How one record goes to another home: the records it touches by noun, the writes, and the words for it. */
export type Moving = {
  readonly touched: Readonly<Record<string, readonly string[]>>
  readonly rooms?: RoomsThere
  readonly told: readonly string[]
  write(tx: Tx): Promise<void>
}

export type Belongings = { readonly notes: readonly string[]; readonly parties: readonly string[] }

const belongings = sql(
  'putting-right-belongings',
  `select array(select id from note where subject = $1 and subject_id = $2 order by id) as notes,
     array(select id from work_party where subject = $1 and subject_id = $2 order by id) as parties`,
)
/** What stands on a record and has no other place. */
export const belongingsOf = async (tx: Tx, noun: string, id: string): Promise<Belongings> =>
  (await tx.one<Belongings>(belongings, [noun, id]))!

export async function takeAlong(tx: Tx, act: Act, { notes, parties }: Belongings, propertyId: string, reason: string) {
  const there = (ids: readonly string[]) => ids.map(id => ({ id, propertyId }))
  await putNotes(tx, act, there(notes), reason)
  await putParties(tx, act, there(parties), reason)
}

export const alongWords = ({ notes, parties }: Belongings): string[] => [
  ...counted(notes.length, 'Its note or photo comes along.', 'Its notes and photos come along'),
  ...counted(
    parties.length,
    'Who ordered, pays or may see it comes along.',
    'Who ordered, pays or may see it comes along',
  ),
]

/** A sentence for one, the same with the number for more, nothing for none. */
export const counted = (count: number, one: string, more: string): string[] =>
  count === 0 ? [] : [count === 1 ? one : `${more} (${count}).`]

const devices = sql(
  'putting-right-devices-of-test',
  `select array(select k.id from kit k where k.property_id = t.property_id and k.voided_at is null and exists (
       select from exposure x where x.test_id = t.id and x.voided_at is null and lower(x.kit_number) = lower(k.number)
         and (x.device_id = k.device_id or x.device_id is null))) as kits,
     array(select b.id from device_booking b where b.property_id = t.property_id and b.voided_at is null and exists (
       select from exposure x where x.test_id = t.id and x.voided_at is null and x.device_id = b.device_id
         and t.set_at < b.until_at and coalesce(t.picked_up_at, 'infinity') > b.from_at)) as bookings
   from test t where t.id = $1`,
)
export type TestDevices = { readonly kits: readonly string[]; readonly bookings: readonly string[] }
/** Kits that a test names by their number, and bookings of its monitors for its time. */
export const devicesOfTest = async (tx: Tx, testId: string): Promise<TestDevices> =>
  (await tx.one<TestDevices>(devices, [testId]))!

export async function takeDevices(
  tx: Tx,
  act: Act,
  { kits, bookings }: TestDevices,
  propertyId: string,
  reason: string,
) {
  await putKits(
    tx,
    act,
    kits.map(id => ({ id, propertyId, locationId: null })),
    reason,
  )
  await putBookings(
    tx,
    act,
    bookings.map(id => ({ id, propertyId })),
    reason,
  )
}
