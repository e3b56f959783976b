import { voidTestLocations } from '../../features/properties/change-parts.ts'
import { sql, type Tx } from '../../platform/db/client.ts'
import type { Part } from '../correction-rows.ts'
import { madeAnew, type NounParts } from '../record-parts.ts'

// The exposures that came into the room with the correction leave it again; any other hangs on the room.
const used = sql(
  'putting-right-rooms-used',
  `select l.name from test_location l
    where l.id = any($1::uuid[]) and (
      exists (select from exposure x join test t on t.id = x.test_id
        where x.location_id = l.id and x.voided_at is null and t.voided_at is null and x.created_at > l.created_at)
      or exists (select from kit k where k.location_id = l.id and k.voided_at is null and k.created_at > l.created_at))
    order by l.name`,
)

export const testLocationParts: NounParts = {
  table: 'test_location',
  fields: { made: madeAnew('A room made for it was taken out of the home since.') },
  putBack: (tx, act, records, reason) =>
    voidTestLocations(
      tx,
      act,
      records.map(({ id }) => id),
      reason,
    ),
  hindrances: roomsInUse,
}

async function roomsInUse(tx: Tx, parts: readonly Part[]): Promise<string[]> {
  const rooms = await tx.rows<{ name: string }>(used, [
    parts.filter(({ field }) => field === 'made').map(({ recordId }) => recordId),
  ])
  return rooms.map(({ name }) => `The room ${name}, made for it, has been measured in since.`)
}
