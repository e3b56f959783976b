import { seen } from '../platform/auth/seen.ts'
import { at, type Db, sql, type Tx } from '../platform/db/client.ts'
import { listStatement } from '../platform/db/list-statement.ts'
import type { Act } from '../platform/db/record-write.ts'
import { notFound } from '../platform/http/problem.ts'
import type { Aim, Correction, Done, Part } from './correction-rows.ts'
import type { HomeChange } from './home-change.ts'

type Who = Pick<Act, 'actor' | 'now'>

const columns = `c.id, c.kind, c.noun, c.noun_id as "nounId", c.into_id as "intoId", c.subject,
  array_to_json(c.property_ids) as "propertyIds", c.reason, c.standings, c.told, c.made_at as "madeAt",
  c.actor_kind as "actorKind", c.actor_id as "actorId",
  coalesce((select name from staff where id = c.actor_id), (select name from app where id = c.actor_id)) as "actorName",
  c.undone_at as "undoneAt", c.undo_reason as "undoReason", c.version,
  coalesce((select name from staff where id = c.undone_by_id), (select name from app where id = c.undone_by_id)) as "undoneByName"`

// Whoever does not see every home sees a correction of which they see every home.
const visible = (n: number) => `($${n} or (cardinality(c.property_ids) > 0
  and c.property_ids <@ array(select property_id from visible_home($${n + 1}, $${n + 2}, $${n + 3}))))`

const byId = sql('correction-by-id', `select ${columns} from correction c where c.id = $1 and ${visible(2)}`)
/** A correction, or the 404 it shares with those that are not this actor's. */
export async function readCorrection(db: Db, who: Who, id: string): Promise<Correction> {
  const correction = await db.one<Correction>(byId, [id, ...seen(who.actor, who.now)])
  if (!correction) throw notFound('correction')
  return correction
}

const lockById = sql('correction-lock', `select c.id from correction c where c.id = $1 and ${visible(2)} for update`)
/** Holds a correction that is to be undone, and reads it. */
export async function lockCorrection(tx: Tx, who: Who, id: string): Promise<Correction> {
  if (!(await tx.one(lockById, [id, ...seen(who.actor, who.now)]))) throw notFound('correction')
  return lockedCorrection(tx, id)
}

const locked = sql('correction-locked', `select ${columns} from correction c where c.id = $1`)
/** One that the caller made or holds. */
export const lockedCorrection = async (tx: Tx, id: string): Promise<Correction> =>
  (await tx.one<Correction>(locked, [id]))!

export type CorrectionFilter = { readonly propertyId?: string; readonly nounId?: string; readonly before?: string }
const list = listStatement<CorrectionFilter>(
  'correction-list',
  { limit: 1, taken: 5 },
  {
    propertyId: n => `c.property_ids @> array[$${n}::uuid]`,
    nounId: n => `c.noun_id = $${n}`,
    before: n => `c.id < $${n}`,
  },
  filters => `select ${columns} from correction c where ${visible(2)} ${filters} order by c.id desc`,
)
/** Newest first, keyset by id, undone ones too. One more than `limit` tells that more follow. */
export function listCorrections(db: Db, who: Who, { limit, ...filter }: CorrectionFilter & { readonly limit: number }) {
  const { statement, values } = list(filter)
  return db.rows<Correction>(statement, [limit + 1, ...seen(who.actor, who.now), ...values])
}

const insert = sql(
  'correction-insert',
  `with made as (
     insert into correction (id, kind, noun, noun_id, into_id, subject, property_ids, reason, standings, told, made_at,
       actor_kind, actor_id)
     values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13) returning id)
   insert into correction_part (correction_id, place, noun, record_id, field, was, now)
   select made.id, p.ordinality, p.noun, p."recordId", p.field, p.was, p.now
     from made, rows from (jsonb_to_recordset($14::jsonb) as (noun text, "recordId" uuid, field text, was jsonb, now jsonb))
       with ordinality p`,
)
type NewCorrection = Aim & Done & { readonly id: string; readonly standings: readonly HomeChange[] }
export const insertCorrection = (tx: Tx, act: Act, made: NewCorrection) =>
  tx.rows(insert, [
    ...[made.id, made.kind, made.noun, made.nounId, made.intoId, made.subject, made.homes, made.reason],
    ...[JSON.stringify(made.standings), JSON.stringify(made.told), at(act.now), act.actor.kind, act.actor.id],
    JSON.stringify(made.parts),
  ])

const parts = sql(
  'correction-parts',
  `select noun, record_id as "recordId", field, was, now from correction_part where correction_id = $1 order by place`,
)
/** What a correction changed, in the order it did so. */
export const partsOf = (db: Db, correctionId: string) => db.rows<Part>(parts, [correctionId])

const undone = sql(
  'correction-undone',
  `update correction set undone_at = $2, undone_by_kind = $3, undone_by_id = $4, undo_reason = $5, version = version + 1
    where id = $1`,
)
export const markCorrectionUndone = (tx: Tx, act: Act, id: string, reason: string) =>
  tx.rows(undone, [id, at(act.now), act.actor.kind, act.actor.id, reason])
