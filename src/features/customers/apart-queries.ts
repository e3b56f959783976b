import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'

/** Two people in use of whom the office said that they are two, by the entries that stay. */
export type Apart = {
  readonly oneId: string
  readonly oneName: string
  readonly otherId: string
  readonly otherName: string
  readonly reason: string
  readonly saidAt: number
  /** Whoever said it; '' where that is not known. */
  readonly saidBy: string
}
type Named = { readonly id: string; readonly name: string }

// What was said of two entries before they became one stands twice for the same pair: the first holds.
const apart = (which: string) => `select * from (
    select distinct on (n.one_id, n.other_id) n.one_id as "oneId", a.name as "oneName", n.other_id as "otherId",
      b.name as "otherName", t.reason, t.said_at as "saidAt", coalesce(s.name, '') as "saidBy"
    from people_apart_now n join people_apart t on t.id = n.id
      join customer a on a.id = n.one_id and a.voided_at is null
      join customer b on b.id = n.other_id and b.voided_at is null left join staff s on s.id = t.staff_id
    where ${which} order by n.one_id, n.other_id, t.said_at, t.id) said
  order by "saidAt" desc, "oneId", "otherId"`

const ofPerson = sql('customer-apart-of', apart('$1 in (n.one_id, n.other_id)'))
/** Those who were said to be somebody else than this person, newest first. */
export const apartFrom = (db: Db, id: string) => db.rows<Apart>(ofPerson, [id])

const newest = sql('customer-apart-list', `${apart('true')} limit $1`)
/** All such pairs, newest first. */
export const listApart = (db: Db, most: number) => db.rows<Apart>(newest, [most])

const ofPair = sql(
  'customer-apart-pair',
  apart('(n.one_id, n.other_id) = (least($1::uuid, $2), greatest($1::uuid, $2))'),
)
/** What was said of these two, in whatever order they are named. */
export const readApart = (db: Db, id: string, otherId: string) => db.one<Apart>(ofPair, [id, otherId])

/** The other one of a pair. */
export const otherOf = (pair: Apart, id: string): Named =>
  pair.oneId === id ? { id: pair.otherId, name: pair.otherName } : { id: pair.oneId, name: pair.oneName }

type NewApart = {
  readonly id: string
  readonly pair: readonly [string, string]
  readonly reason: string
  readonly staffId: string | null
}
const insert = sql(
  'customer-apart-insert',
  `insert into people_apart (id, one_id, other_id, reason, staff_id, said_at)
   values ($1, least($2::uuid, $3), greatest($2::uuid, $3), $4, $5, $6)`,
)
export const insertApart = (tx: Tx, now: number, { id, pair, reason, staffId }: NewApart) =>
  tx.rows(insert, [id, ...pair, reason, staffId, at(now)])

const takeBack = sql(
  'customer-apart-void',
  `update people_apart set voided_at = $3, version = version + 1 where voided_at is null and id in (
     select id from people_apart_now where (one_id, other_id) = (least($1::uuid, $2), greatest($1::uuid, $2)))
   returning id, version`,
)
/** Takes back all that says so of these two. */
export const voidApart = (tx: Tx, now: number, pair: readonly [string, string]) =>
  tx.rows<{ id: string; version: number }>(takeBack, [...pair, at(now)])
