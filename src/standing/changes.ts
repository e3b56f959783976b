import { at, sql, type Tx } from '../platform/db/client.ts'

const feed = sql(
  'standing-feed',
  `insert into change (xid, at, kind, noun, noun_id, property_id, version)
   select pg_current_xact_id(), $1, 'correct', 'standing', i.id, i.id, i.version from unnest($2::uuid[], $3::int[]) as i(id, version)`,
)

/** Tells the change feed that these standings have new versions. */
export const feedStandings = (tx: Tx, now: number, versions: ReadonlyMap<string, number>) =>
  tx.rows(feed, [at(now), [...versions.keys()], [...versions.values()]])
