import { sql, type Tx } from '../platform/db/client.ts'

/** A room or a part of the foundation of the doubled home, and the one of that name at the home that stays. */
type Matched = { readonly id: string; readonly thereId: string | null; readonly areaId: string | null }
type Pointing = { readonly id: string; readonly at: string }

export type MergedRooms = {
  readonly areas: readonly Matched[]
  readonly rooms: readonly Matched[]
  /** What points at a room or an area of the doubled home. */
  readonly exposures: readonly Pointing[]
  readonly kits: readonly Pointing[]
  readonly points: readonly Pointing[]
}

// Of equal name, and a room on the same floor: the basement's bedroom is not the one upstairs.
const matchedAreas = sql(
  'putting-right-merged-areas',
  `select f.id, null as "areaId", (select n.id from foundation_area n where n.property_id = $2 and n.voided_at is null
       and lower(btrim(n.name)) = lower(btrim(f.name)) and n.kind = f.kind order by n.position, n.id limit 1) as "thereId"
     from foundation_area f where f.property_id = $1 and f.voided_at is null order by f.id`,
)
const matchedRooms = sql(
  'putting-right-merged-rooms',
  `select l.id, l.foundation_area_id as "areaId", (select n.id from test_location n where n.property_id = $2 and n.voided_at is null
       and lower(btrim(n.name)) = lower(btrim(l.name)) and n.floor = l.floor order by n.position, n.id limit 1) as "thereId"
     from test_location l where l.property_id = $1 and l.voided_at is null order by l.id`,
)
const exposuresIn = sql(
  'putting-right-exposures-in',
  'select id, location_id as at from exposure where location_id = any($1::uuid[]) order by id',
)
const kitsIn = sql(
  'putting-right-kits-in',
  'select id, location_id as at from kit where location_id = any($1::uuid[]) order by id',
)
const pointsIn = sql(
  'putting-right-points-in',
  'select id, foundation_area_id as at from suction_point where foundation_area_id = any($1::uuid[]) order by id',
)

export async function mergedRooms(tx: Tx, fromId: string, intoId: string): Promise<MergedRooms> {
  const areas = await tx.rows<Matched>(matchedAreas, [fromId, intoId])
  const rooms = await tx.rows<Matched>(matchedRooms, [fromId, intoId])
  const doubledRooms = rooms.filter(({ thereId }) => thereId !== null).map(({ id }) => id)
  const doubledAreas = areas.filter(({ thereId }) => thereId !== null).map(({ id }) => id)
  return {
    areas,
    rooms,
    exposures: await tx.rows<Pointing>(exposuresIn, [doubledRooms]),
    kits: await tx.rows<Pointing>(kitsIn, [doubledRooms]),
    points: await tx.rows<Pointing>(pointsIn, [doubledAreas]),
  }
}

/** Where something that pointed at a doubled one points afterwards. */
export const thereOf = (matched: readonly Matched[], id: string | null): string | null =>
  matched.find(one => one.id === id)?.thereId ?? id
