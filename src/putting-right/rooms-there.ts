import { writeTestLocations } from '../features/properties/change-parts.ts'
import { sql, type Tx } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'

type NewRoom = Parameters<typeof writeTestLocations>[2][number]
type Room = Required<Pick<NewRoom, 'name' | 'floor' | 'roomKind' | 'livedIn'>> & { readonly id: string }
type Match = Room & { readonly thereId: string | null }

export type RoomsThere = {
  /** The room of the other home for each of these. */
  readonly there: ReadonlyMap<string, string>
  /** Those that were made. */
  readonly made: readonly string[]
  readonly told: readonly string[]
}

// Rooms are the same where their names are, whatever their letters' case.
const matched = sql(
  'putting-right-rooms',
  `select l.id, l.name, l.floor, l.room_kind as "roomKind", l.lived_in as "livedIn",
     (select n.id from test_location n where n.property_id = $2 and n.voided_at is null
        and lower(btrim(n.name)) = lower(btrim(l.name)) order by n.floor <> l.floor, n.position, n.id limit 1) as "thereId"
     from test_location l where l.id = any($1::uuid[]) order by l.position, l.id`,
)

/** Finds rooms of one home at another by their names, and makes there what is missing. */
export async function roomsThere(
  tx: Tx,
  act: Act,
  roomIds: readonly string[],
  propertyId: string,
): Promise<RoomsThere> {
  const rooms = await tx.rows<Match>(matched, [[...new Set(roomIds)], propertyId])
  const missing = rooms.filter(room => room.thereId === null)
  const made =
    missing.length === 0
      ? []
      : await writeTestLocations(
          tx,
          act,
          missing.map(({ name, floor, roomKind, livedIn }) => ({
            ...{ propertyId, name, floor, roomKind, livedIn },
            ...blank,
          })),
        )
  const there = new Map(rooms.flatMap(({ id, thereId }) => (thereId ? [[id, thereId] as const] : [])))
  for (const [n, { id }] of missing.entries()) there.set(id, made[n]!)
  return { there, made, told: rooms.map(roomWords) }
}

const blank = { foundationAreaId: null, note: '' }
const roomWords = ({ name, thereId }: Match) =>
  thereId ? `${name}: the room of this name there.` : `${name}: there is no such room there yet, it is made.`
