import { type Db, sql } from '../../platform/db/client.ts'

const historyOf = sql(
  'property-revisions',
  `select r.id, r.noun, r.noun_id as "nounId", r.version, r.was, r.reason, r.actor_kind as "actorKind", r.actor_id as "actorId",
     w.name as "byName", r.at
   from fact_revision r left join staff w on w.id = r.actor_id
   where r.property_id = $1 and ($2::timestamptz is null or (r.at, r.id) < ($2, $3::uuid)) order by r.at desc, r.id desc limit $4`,
)
/** What corrections replaced, and what was voided, with who, when and why. */
export type Revision = {
  readonly id: string
  readonly noun: string
  readonly nounId: string
  /** The version that the change made. */
  readonly version: number
  readonly was: Readonly<Record<string, unknown>>
  readonly reason: string
  readonly actorKind: 'staff' | 'app' | 'homeowner' | 'operator' | 'system'
  readonly actorId: string | null
  readonly byName: string | null
  readonly at: number
}

/** Newest first, from behind `before` on; one more than `limit` tells that more follow. */
export const readRevisions = (
  db: Db,
  propertyId: string,
  before: readonly [at: number, id: string] | null,
  limit: number,
) => db.rows<Revision>(historyOf, [propertyId, before ? new Date(before[0]) : null, before?.[1] ?? null, limit + 1])
