import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'

/** An exposure as it is inserted; `series` is its record where it has one. */
export type ExposureInsert = {
  id: string
  testId: string
  position: number
  locationId: string | null
  deviceId: string | null
  kitNumber: string | null
  role: string
  pairKey: string | null
  startAt: number | null
  stopAt: number | null
  heightCm: number | null
  fromOpeningCm: number | null
  fromExteriorWallCm: number | null
  fromHeatCm: number | null
  fromObjectCm: number | null
  value: string | null
  unit: string | null
  qualifier: string
  uncertainty: string | null
  canonicalBqM3: number | null
  againstRecords: string
  series: SeriesInsert | null
}

export type SeriesInsert = {
  id: string
  startAt: number
  intervalS: number
  unit: string
  scale: number
  values: readonly (number | null)[]
  offsetsS: readonly number[]
  deviceCorrectedFirstHours: boolean
  side: unknown
  reading: unknown
  fileSha256: Buffer | null
}

const iso = (ms: number | null) => (ms === null ? null : at(ms).toISOString())

const insertAll = sql(
  'exposure-insert',
  `insert into exposure (id, test_id, location_id, device_id, kit_number, role, pair_key, start_at, stop_at, height_cm,
     from_opening_cm, from_exterior_wall_cm, from_heat_cm, from_object_cm, value, unit, qualifier, uncertainty,
     canonical_bq_m3, against_records, position, created_at)
   select i.id, i."testId", i."locationId", i."deviceId", i."kitNumber", i.role, i."pairKey", i."startAt", i."stopAt", i."heightCm",
     i."fromOpeningCm", i."fromExteriorWallCm", i."fromHeatCm", i."fromObjectCm", i.value, i.unit, i.qualifier,
     i.uncertainty, i."canonicalBqM3", i."againstRecords", i.position, $2
     from jsonb_to_recordset($1::jsonb) as i(id uuid, "testId" uuid, "locationId" uuid, "deviceId" uuid, "kitNumber" text, role text,
       "pairKey" text, "startAt" timestamptz, "stopAt" timestamptz, "heightCm" float8, "fromOpeningCm" float8,
       "fromExteriorWallCm" float8, "fromHeatCm" float8, "fromObjectCm" float8, value text, unit text, qualifier text,
       uncertainty text, "canonicalBqM3" float8, "againstRecords" text, position int)`,
)

const insertSeries = sql(
  'series-insert',
  `insert into series (id, exposure_id, start_at, interval_s, unit, scale, "values", offsets_s,
     device_corrected_first_hours, side, reading, file_sha256, created_at)
   values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)
   on conflict (exposure_id) do update set id = excluded.id, start_at = excluded.start_at, interval_s = excluded.interval_s,
     unit = excluded.unit, scale = excluded.scale, "values" = excluded."values", offsets_s = excluded.offsets_s,
     device_corrected_first_hours = excluded.device_corrected_first_hours, side = excluded.side,
     reading = excluded.reading, file_sha256 = excluded.file_sha256, created_at = excluded.created_at`,
)

const against = sql(
  'exposure-against-records',
  `select w.id, case
     when exists (select from exposure y join test u on u.id = y.test_id
       where y.device_id = d.id and y.voided_at is null and u.voided_at is null and y.start_at < w.until
         and coalesce(y.stop_at, u.picked_up_at, case when u.result_in_at is null then 'infinity'::timestamptz end) > w."from")
       then 'elsewhere'
     when a.kind = 'lost' then 'lost' when a.kind is not null then 'away'
     when d.retired_at <= w."from" then 'retired' else '' end as against
   from jsonb_to_recordset($1::jsonb) as w(id uuid, "deviceId" uuid, "from" timestamptz, until timestamptz)
     join device d on d.id = w."deviceId" and d.kind = 'monitor'
     left join lateral (select a.kind from device_absence a where a.device_id = d.id and a.voided_at is null
       and a.from_on <= (w.until at time zone (select zone from company))::date
       and coalesce(a.back_on, 'infinity') > (w."from" at time zone (select zone from company))::date limit 1) a on true`,
)
/** The exposures of monitors that the records have somewhere else at that time, by id, each with where. */
export async function recordsAgainst(
  tx: Tx,
  now: number,
  exposures: readonly Pick<ExposureInsert, 'id' | 'deviceId' | 'startAt' | 'stopAt'>[],
): Promise<ReadonlyMap<string, string>> {
  const wants = exposures.flatMap(({ id, deviceId, startAt, stopAt }) =>
    deviceId && startAt !== null ? [{ id, deviceId, from: iso(startAt), until: iso(stopAt ?? now) }] : [],
  )
  if (wants.length === 0) return new Map()
  const rows = await tx.rows<{ id: string; against: string }>(against, [JSON.stringify(wants)])
  return new Map(rows.map(row => [row.id, row.against]))
}

export async function insertExposures(tx: Tx, now: number, exposures: readonly ExposureInsert[]) {
  const rows = exposures.map(({ series: _, ...exposure }) => ({
    ...exposure,
    startAt: iso(exposure.startAt),
    stopAt: iso(exposure.stopAt),
  }))
  await tx.rows(insertAll, [JSON.stringify(rows), at(now)])
  for (const exposure of exposures) if (exposure.series) await putSeries(tx, now, exposure.id, exposure.series)
}

/** The record of an exposure; a new one takes the place of the old, whose values the caller has kept as a revision. */
export const putSeries = (tx: Tx, now: number, exposureId: string, series: SeriesInsert) =>
  tx.rows(insertSeries, [
    series.id,
    exposureId,
    at(series.startAt),
    series.intervalS,
    series.unit,
    series.scale,
    series.values,
    series.offsetsS,
    series.deviceCorrectedFirstHours,
    series.side === null ? null : JSON.stringify(series.side),
    series.reading === null ? null : JSON.stringify(series.reading),
    series.fileSha256,
    at(now),
  ])

const setStops = sql(
  'exposure-stops',
  `update exposure x set stop_at = coalesce(i."stopAt", $3)
     from (select e.id, j."stopAt" from exposure e
             left join jsonb_to_recordset($2::jsonb) as j(id uuid, "stopAt" timestamptz) on j.id = e.id
            where e.test_id = $1 and e.voided_at is null) i
    where x.id = i.id and (x.stop_at is null or i."stopAt" is not null)`,
)
export const stopExposures = (tx: Tx, testId: string, at_: number, stops: readonly { id: string; stopAt: number }[]) =>
  tx.rows(setStops, [testId, JSON.stringify(stops.map(stop => ({ ...stop, stopAt: iso(stop.stopAt) }))), at(at_)])

const setResult = sql(
  'exposure-result',
  `update exposure set start_at = coalesce($3, start_at), stop_at = coalesce($4, stop_at), value = $5, unit = $6,
     qualifier = $7, uncertainty = $8, canonical_bq_m3 = $9
   where id = $2 and test_id = $1`,
)
export const putResult = (
  tx: Tx,
  testId: string,
  exposureId: string,
  result: {
    startAt: number | null
    stopAt: number | null
    value: string | null
    unit: string | null
    qualifier: string
    uncertainty: string | null
    canonicalBqM3: number | null
  },
) =>
  tx.rows(setResult, [
    testId,
    exposureId,
    result.startAt === null ? null : at(result.startAt),
    result.stopAt === null ? null : at(result.stopAt),
    result.value,
    result.unit,
    result.qualifier,
    result.uncertainty,
    result.canonicalBqM3,
  ])

// Whatever a test points at must be of its home: a foreign id is named, and looks like one that is not there.
const strangers = sql(
  'test-strangers',
  `select r."propertyId", r.kind, r.id from unnest($1::uuid[], $2::text[], $3::uuid[]) r("propertyId", kind, id)
    where not case r.kind
      when 'location' then exists (select 1 from test_location l where l.id = r.id and l.property_id = r."propertyId" and l.voided_at is null)
      when 'system' then exists (select 1 from system s where s.id = r.id and s.property_id = r."propertyId" and s.voided_at is null)
      when 'test' then exists (select 1 from test t where t.id = r.id and t.property_id = r."propertyId" and t.voided_at is null)
      else exists (select 1 from device d where d.id = r.id and d.voided_at is null) end`,
)
/** What a test of a home points at. */
export type Reference = {
  readonly propertyId: string
  readonly kind: 'location' | 'system' | 'test' | 'device'
  readonly id: string
}
/** Of these references the ones that point at nothing of their home. */
export const strangersAmong = async (db: Db, refs: readonly Reference[]): Promise<Reference[]> =>
  refs.length === 0
    ? []
    : db.rows<Reference>(strangers, [
        refs.map(ref => ref.propertyId),
        refs.map(ref => ref.kind),
        refs.map(ref => ref.id),
      ])

const seriesOfTest = sql(
  'series-of-test',
  `select r.exposure_id as "exposureId", r.start_at as "startAt", r.interval_s as "intervalS", r.unit, r.scale, r."values",
     r.offsets_s as "offsetsS", r.device_corrected_first_hours as "deviceCorrectedFirstHours", r.side
     from series r join exposure x on x.id = r.exposure_id where x.test_id = $1 and x.voided_at is null`,
)
export type SeriesRow = Omit<SeriesInsert, 'id' | 'reading' | 'fileSha256'> & { exposureId: string }
/** The records of a test the caller has already been allowed to read. */
export const seriesOf = (db: Db, testId: string) => db.rows<SeriesRow>(seriesOfTest, [testId])
