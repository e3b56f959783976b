import { type Db, sql, type Tx } from '../../platform/db/client.ts'
import { type Act, recordWrites } from '../../platform/db/record-write.ts'

/** Whose a part in a piece of work is, and how long; a field that is left out stays. */
export type PartyChange = {
  readonly id: string
  readonly customerId?: string
  readonly lastOn?: string | null
  /** An instant: it was said by mistake; null: it was not after all. */
  readonly voidedAt?: number | null
}
export type PartyOf = {
  readonly id: string
  readonly propertyId: string
  readonly customerId: string
  readonly subject: string
  readonly subjectId: string
  readonly part: string
  readonly firstOn: string | null
  readonly lastOn: string | null
}

const shared = sql(
  'party-of-people',
  `select id, property_id as "propertyId", customer_id as "customerId", subject, subject_id as "subjectId", part,
     first_on as "firstOn", last_on as "lastOn" from work_party where customer_id = any($1::uuid[]) and voided_at is null order by id`,
)
/** Every part that these people have or had in work. */
export const partiesOf = (db: Db, customerIds: readonly string[]) => db.rows<PartyOf>(shared, [customerIds])

const change = sql(
  'party-hand-over',
  `update work_party y set customer_id = coalesce((c.change->>'customerId')::uuid, y.customer_id),
     last_on = case when c.change ? 'lastOn' then (c.change->>'lastOn')::date else y.last_on end,
     voided_at = case when c.change ? 'voidedAt' then to_timestamp((c.change->>'voidedAt')::bigint / 1000.0) else y.voided_at end,
     void_reason = case when not c.change ? 'voidedAt' then y.void_reason when c.change->>'voidedAt' is null then null else $2 end,
     version = y.version + 1
   from jsonb_array_elements($1::jsonb) c(change) where y.id = (c.change->>'id')::uuid
   returning y.id, y.property_id as "propertyId", y.version`,
)

/** Says of parts in work whose they are and how long; the caller has seen their homes. */
export async function handOverParties(
  tx: Tx,
  act: Act,
  changes: readonly PartyChange[],
  reason: string,
): Promise<void> {
  if (changes.length === 0) return
  const changed = await tx.rows<{ id: string; propertyId: string; version: number }>(change, [
    JSON.stringify(changes),
    reason,
  ])
  const voided = new Map(changes.map(({ id, voidedAt }) => [id, voidedAt]))
  const actionOf = (id: string) => {
    const at = voided.get(id)
    return at === undefined ? 'correct' : at === null ? 'restore' : 'void'
  }
  await recordWrites(
    tx,
    act,
    changed.map(row => ({ action: actionOf(row.id), noun: 'work_party', ...row, reason })),
  )
}
