import type { SeriesFacts } from '../../domain/facts.ts'
import { type Db, sql } from '../../platform/db/client.ts'

const records = sql(
  'property-records',
  `select exposure_id as "exposureId", (extract(epoch from start_at) * 1000)::bigint as "startAt", interval_s as "intervalS",
     unit, scale, "values", missing, offsets_s as "offsetsS", device_corrected_first_hours as "deviceCorrectedFirstHours"
   from series where exposure_id = any($1::uuid[])`,
)
type Row = SeriesFacts & { readonly exposureId: string; readonly missing: readonly number[] }

/** The monitors' records of these exposures, by exposure; a missing reading is null. */
export async function readRecords(db: Db, exposureIds: readonly string[]): Promise<ReadonlyMap<string, SeriesFacts>> {
  if (exposureIds.length === 0) return new Map()
  const rows = await db.rows<Row>(records, [exposureIds])
  return new Map(
    rows.map(({ exposureId, missing, values, ...series }) => {
      const gaps = new Set(missing)
      return [exposureId, { ...series, values: values.map((value, i) => (gaps.has(i) ? null : value)) }]
    }),
  )
}
