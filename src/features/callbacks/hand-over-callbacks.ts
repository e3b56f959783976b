import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import { type Act, recordWrites } from '../../platform/db/record-write.ts'

const reportedBy = sql(
  'callback-reported-by',
  'select id, property_id as "propertyId" from callback where reported_by_customer = $1 order by id',
)
/** Every callback that somebody asked for. */
export const callbacksReportedBy = (db: Db, customerId: string) =>
  db.rows<{ id: string; propertyId: string }>(reportedBy, [customerId])

const handOver = sql(
  'callback-hand-over',
  `update callback b set reported_by_customer = c."customerId", version = b.version + 1, updated_at = $2
     from jsonb_to_recordset($1::jsonb) as c(id uuid, "customerId" uuid) where b.id = c.id
   returning b.id, b.property_id as "propertyId", b.version`,
)
/** Says who asked for callbacks; the caller has seen their homes. */
export async function handOverCallbacks(
  tx: Tx,
  act: Act,
  callbacks: readonly { readonly id: string; readonly customerId: string }[],
  reason: string,
): Promise<void> {
  if (callbacks.length === 0) return
  const changed = await tx.rows<{ id: string; propertyId: string; version: number }>(handOver, [
    JSON.stringify(callbacks),
    at(act.now),
  ])
  await recordWrites(
    tx,
    act,
    changed.map(row => ({ action: 'correct', noun: 'callback', ...row, fields: ['reportedByCustomer'], reason })),
  )
}
