import type { LevelRef } from '../domain/answers.ts'
import { localDayOf } from '../domain/calendar/local-day.ts'
import type { BuildingUse, Instant } from '../domain/facts.ts'
import { resolvePolicy } from '../domain/policy/resolve-policy.ts'
import { levelRefOf } from '../domain/verdict/compare-with-level.ts'
import { type Db, sql } from '../platform/db/client.ts'
import { loadPolicies } from './load-policies.ts'

type Place = { zone: string; jurisdiction: string; buildingUse: BuildingUse; yearBuilt: number | null }

const placeOfHome = sql(
  'standing-place-of-home',
  `select zone, jurisdiction, building_use as "buildingUse", year_built as "yearBuilt" from property where id = $1`,
)

/** The level that holds today where a home stands, for a picture of what no verdict has been given on yet. */
export async function levelInForce(db: Db, propertyId: string, now: Instant): Promise<LevelRef | null> {
  const place = await db.one<Place>(placeOfHome, [propertyId])
  const law = place && resolvePolicy(await loadPolicies(db), place, localDayOf(now, place.zone))
  return law?.level ? levelRefOf(law.level) : null
}
