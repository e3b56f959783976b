import type { Standing } from '../domain/answers.ts'
import { type Db, sql } from '../platform/db/client.ts'

export type ReadStanding = { readonly standing: Standing; readonly version: number; readonly stale: boolean }

const read = sql(
  'standing-read',
  'select body, version, stale_since is not null as stale from standing where property_id = $1',
)

/** The kept standing of a home the caller may see; null before its first fact. */
export async function readStanding(db: Db, propertyId: string): Promise<ReadStanding | null> {
  const row = await db.one<{ body: string; version: number; stale: boolean }>(read, [propertyId])
  return row && { standing: JSON.parse(row.body) as Standing, version: row.version, stale: row.stale }
}
