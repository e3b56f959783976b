import { seen } from '../../platform/auth/seen.ts'
import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { notFound } from '../../platform/http/problem.ts'
import type { FoundationArea, Property, PropertyColumns, TestLocation } from './rows.ts'

type Who = Pick<Act, 'actor' | 'now'>

export const visible = (n: number) =>
  `($${n} or p.id in (select property_id from visible_home($${n + 1}, $${n + 2}, $${n + 3})))`

export const propertyColumns = `p.id, p.street, p.unit, p.city, p.region, p.postcode, p.country, p.zone,
  p.zone_source as "zoneSource", p.jurisdiction, p.building_use as "buildingUse", p.year_built as "yearBuilt", p.storeys,
  p.access_note as "accessNote", p.gate_code as "gateCode", p.dog_note as "dogNote", p.note, p.version,
  p.created_at as "createdAt", p.updated_at as "updatedAt", p.voided_at as "voidedAt", p.void_reason as "voidReason",
  (select coalesce(json_agg(json_build_object('id', f.id, 'kind', f.kind, 'name', f.name, 'areaM2', f.area_m2, 'version', f.version)
      order by f.position, f.id), '[]') from foundation_area f where f.property_id = p.id and f.voided_at is null) as "foundationAreas",
  (select coalesce(json_agg(json_build_object('id', l.id, 'name', l.name, 'floor', l.floor, 'roomKind', l.room_kind,
      'livedIn', l.lived_in, 'foundationAreaId', l.foundation_area_id, 'note', l.note, 'version', l.version)
      order by l.position, l.id), '[]') from test_location l where l.property_id = p.id and l.voided_at is null) as "testLocations",
  (select json_build_object('outcome', k.outcome, 'nextDueOn', k.next_due_on, 'version', k.version)
     from standing k where k.property_id = p.id) as standing`

const propertyById = sql(
  'property-by-id',
  `select ${propertyColumns} from property p where p.id = $1 and ${visible(2)}`,
)

/** The home with its areas and locations, or the 404 it shares with homes that are not this actor's. */
export async function readProperty(db: Db, who: Who, id: string): Promise<Property> {
  const property = await db.one<Property>(propertyById, [id, ...seen(who.actor, who.now)])
  if (!property) throw notFound('property')
  return property
}

const lockById = sql(
  'property-lock',
  `select p.id from property p where p.id = $1 and p.voided_at is null and ${visible(2)} for update`,
)

/** Holds a home that is to be changed and reads it; a voided one is not there to change. */
export async function lockProperty(tx: Tx, act: Act, id: string): Promise<Property> {
  if (!(await tx.one(lockById, [id, ...seen(act.actor, act.now)]))) throw notFound('property')
  return readProperty(tx, act, id)
}

const valuesOf = (property: PropertyColumns) => [
  property.street,
  property.unit,
  property.city,
  property.region,
  property.postcode,
  property.country,
  property.zone,
  property.zoneSource,
  property.jurisdiction,
  property.buildingUse,
  property.yearBuilt,
  property.storeys,
  property.accessNote,
  property.gateCode,
  property.dogNote,
  property.note,
]

const insert = sql(
  'property-insert',
  `insert into property (street, unit, city, region, postcode, country, zone, zone_source, jurisdiction, building_use,
     year_built, storeys, access_note, gate_code, dog_note, note, id, created_at, updated_at)
   values ($1,$2,$3,$4,$5,$6,$7,$8,$9,$10,$11,$12,$13,$14,$15,$16,$17,$18,$18)`,
)
export const insertProperty = (tx: Tx, now: number, id: string, property: PropertyColumns) =>
  tx.rows(insert, [...valuesOf(property), id, at(now)])

const update = sql(
  'property-update',
  `update property set street=$1, unit=$2, city=$3, region=$4, postcode=$5, country=$6, zone=$7, zone_source=$8,
     jurisdiction=$9, building_use=$10, year_built=$11, storeys=$12, access_note=$13, gate_code=$14, dog_note=$15,
     note=$16, version = version + 1, updated_at = $18
   where id = $17`,
)
export const updateProperty = (tx: Tx, now: number, id: string, property: PropertyColumns) =>
  tx.rows(update, [...valuesOf(property), id, at(now)])

const markVoided = sql(
  'property-void',
  'update property set voided_at = $2, void_reason = $3, version = version + 1, updated_at = $2 where id = $1',
)
export const markPropertyVoided = (tx: Tx, now: number, id: string, reason: string) =>
  tx.rows(markVoided, [id, at(now), reason])

const insertAreas = sql(
  'property-insert-areas',
  `insert into foundation_area (id, property_id, kind, name, area_m2, position)
   select a.id, $1, a.kind, a.name, a."areaM2", (select count(*) from foundation_area where property_id = $1) + a.ordinality
     from rows from (jsonb_to_recordset($2::jsonb) as (id uuid, kind text, name text, "areaM2" float8)) with ordinality a`,
)
export const insertFoundationAreas = (tx: Tx, propertyId: string, areas: readonly Omit<FoundationArea, 'version'>[]) =>
  tx.rows(insertAreas, [propertyId, JSON.stringify(areas)])

const insertLocations = sql(
  'property-insert-locations',
  `insert into test_location (id, property_id, foundation_area_id, name, floor, room_kind, lived_in, note, position, created_at)
   select l.id, $1, l."foundationAreaId", l.name, l.floor, l."roomKind", l."livedIn", l.note,
     (select count(*) from test_location where property_id = $1) + l.ordinality, $3
     from rows from (jsonb_to_recordset($2::jsonb) as (id uuid, "foundationAreaId" uuid, name text, floor int, "roomKind" text,
       "livedIn" boolean, note text)) with ordinality l`,
)
export const insertTestLocations = (
  tx: Tx,
  now: number,
  propertyId: string,
  locations: readonly Omit<TestLocation, 'version'>[],
) => tx.rows(insertLocations, [propertyId, JSON.stringify(locations), at(now)])
