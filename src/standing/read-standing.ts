import type { EvaluatedTest, Standing } from '../domain/answers.ts'
import { type Db, sql } from '../platform/db/client.ts'
import { type KeptText, standingFrom } from './kept-text.ts'

export type ReadStanding = {
  readonly standing: Standing
  readonly version: number
  readonly stale: boolean
  /** What the company adds to the caution. */
  readonly cautionAdded: string
  readonly companyVersion: number
}
type Row = {
  body: KeptText
  evaluations: EvaluatedTest[]
  version: number
  stale: boolean
  cautionAdded: string
  companyVersion: number
}

const read = sql(
  'standing-read',
  `select s.body::json as body, s.version, s.stale_since is not null as stale,
     (select coalesce(json_agg(v.body::json), '[]') from test_evaluation v join test t on t.id = v.test_id
       where t.property_id = s.property_id) as evaluations,
     coalesce((select caution_added from company), '') as "cautionAdded",
     (select version from company) as "companyVersion"
   from standing s where s.property_id = $1`,
)

/** The kept standing of a home the caller may see; null before its first fact. */
export async function readStanding(db: Db, propertyId: string): Promise<ReadStanding | null> {
  const row = await db.one<Row>(read, [propertyId])
  if (!row) return null
  const { version, stale, cautionAdded, companyVersion } = row
  return { standing: standingFrom(row.body, row.evaluations), version, stale, cautionAdded, companyVersion }
}
