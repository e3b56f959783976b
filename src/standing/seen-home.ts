import { seen } from '../platform/auth/seen.ts'
import { type Db, sql } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import { notFound } from '../platform/http/problem.ts'

export type SeenHome = { readonly id: string; readonly zone: string; readonly version: number }

const seenHomeById = sql(
  'standing-seen-home',
  `select p.id, p.zone, p.version from property p
    where p.id = $1 and p.voided_at is null and ($2 or p.id in (select property_id from visible_home($3, $4, $5)))`,
)

/** The home, if this actor may see it; otherwise the same 404 as for one that is not there. */
export async function seenHome(db: Db, act: Pick<Act, 'actor' | 'now'>, propertyId: string): Promise<SeenHome> {
  const home = await db.one<SeenHome>(seenHomeById, [propertyId, ...seen(act.actor, act.now)])
  if (!home) throw notFound('property')
  return home
}

const seenAmong = sql(
  'standing-seen-homes',
  `select p.id from property p
    where p.id = any($1::uuid[]) and p.voided_at is null and ($2 or p.id in (select property_id from visible_home($3, $4, $5)))`,
)

/** Throws the same 404 when this actor may not see every one of these homes. */
export async function seeHomes(db: Db, act: Pick<Act, 'actor' | 'now'>, propertyIds: readonly string[]): Promise<void> {
  const ids = [...new Set(propertyIds)]
  const rows = await db.rows(seenAmong, [ids, ...seen(act.actor, act.now)])
  if (rows.length < ids.length) throw notFound('property')
}
