import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import { type Act, recordWrites } from '../../platform/db/record-write.ts'

const leftWith = sql(
  'kit-left-with',
  'select id, property_id as "propertyId" from kit where customer_id = $1 order by id',
)
/** Every kit that was left with somebody, voided ones too. */
export const kitsLeftWith = (db: Db, customerId: string) =>
  db.rows<{ id: string; propertyId: string }>(leftWith, [customerId])

const handOver = sql(
  'kit-hand-over',
  `update kit k set customer_id = c."customerId", version = k.version + 1, updated_at = $2
     from jsonb_to_recordset($1::jsonb) as c(id uuid, "customerId" uuid) where k.id = c.id
   returning k.id, k.property_id as "propertyId", k.version`,
)
/** Says with whom kits were left; the caller has seen their homes. */
export async function handOverKits(
  tx: Tx,
  act: Act,
  kits: readonly { readonly id: string; readonly customerId: string }[],
  reason: string,
): Promise<void> {
  if (kits.length === 0) return
  const changed = await tx.rows<{ id: string; propertyId: string; version: number }>(handOver, [
    JSON.stringify(kits),
    at(act.now),
  ])
  await recordWrites(
    tx,
    act,
    changed.map(row => ({ action: 'correct', noun: 'kit', ...row, fields: ['customerId'], reason })),
  )
}
