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
  p.merged_into_id as "mergedIntoId",
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

/** Holds a home that is to be changed; a voided one is not there to change. */
export async function holdProperty(tx: Tx, act: Act, id: string): Promise<void> {
  if (!(await tx.one(lockById, [id, ...seen(act.actor, act.now)]))) throw notFound('property')
}

/** The same, and reads it. */
export async function lockProperty(tx: Tx, act: Act, id: string): Promise<Property> {
  await holdProperty(tx, act, id)
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
  `insert into property (id, street, unit, city, region, postcode, country, zone, zone_source, jurisdiction, building_use,
     year_built, storeys, access_note, gate_code, dog_note, note, created_at, updated_at)
   select i.id, i.street, i.unit, i.city, i.region, i.postcode, i.country, i.zone, i."zoneSource", i.jurisdiction,
     i."buildingUse", i."yearBuilt", i.storeys, i."accessNote", i."gateCode", i."dogNote", i.note, $2, $2
     from jsonb_to_recordset($1::jsonb) as i(id uuid, street text, unit text, city text, region text, postcode text,
       country text, zone text, "zoneSource" text, jurisdiction text, "buildingUse" text, "yearBuilt" int, storeys int,
       "accessNote" text, "gateCode" text, "dogNote" text, note text)`,
)
export const insertProperties = (tx: Tx, now: number, homes: readonly (PropertyColumns & { readonly id: string })[]) =>
  tx.rows(insert, [JSON.stringify(homes), at(now)])

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
  'update property set voided_at = $2, void_reason = $3, version = version + 1, updated_at = $2 where id = any($1::uuid[])',
)
export const markPropertiesVoided = (tx: Tx, now: number, ids: readonly string[], reason: string) =>
  tx.rows(markVoided, [ids, at(now), reason])

type OfHome = { readonly propertyId: string }

const insertAreas = sql(
  'property-insert-areas',
  `insert into foundation_area (id, property_id, kind, name, area_m2, position)
   select a.id, a."propertyId", a.kind, a.name, a."areaM2",
     (select count(*) from foundation_area f where f.property_id = a."propertyId")
       + row_number() over (partition by a."propertyId" order by a.ordinality)
     from rows from (jsonb_to_recordset($1::jsonb) as (id uuid, "propertyId" uuid, kind text, name text, "areaM2" float8))
       with ordinality a`,
)
/** Puts areas behind those that their homes have. */
export const insertFoundationAreas = async (
  tx: Tx,
  areas: readonly (Omit<FoundationArea, 'version'> & OfHome)[],
): Promise<void> => {
  if (areas.length > 0) await tx.rows(insertAreas, [JSON.stringify(areas)])
}

const insertLocations = sql(
  'property-insert-locations',
  `insert into test_location (id, property_id, foundation_area_id, name, floor, room_kind, lived_in, note, position, created_at)
   select l.id, l."propertyId", l."foundationAreaId", l.name, l.floor, l."roomKind", l."livedIn", l.note,
     (select count(*) from test_location t where t.property_id = l."propertyId")
       + row_number() over (partition by l."propertyId" order by l.ordinality), $2
     from rows from (jsonb_to_recordset($1::jsonb) as (id uuid, "propertyId" uuid, "foundationAreaId" uuid, name text,
       floor int, "roomKind" text, "livedIn" boolean, note text)) with ordinality l`,
)
/** Puts test locations behind those that their homes have. */
export const insertTestLocations = async (
  tx: Tx,
  now: number,
  locations: readonly (Omit<TestLocation, 'version'> & OfHome)[],
): Promise<void> => {
  if (locations.length > 0) await tx.rows(insertLocations, [JSON.stringify(locations), at(now)])
}
