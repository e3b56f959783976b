import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'

/** Fields of a customer as they are to stand; a field that is left out stays. */
export type CustomerChange = { readonly id: string } & { readonly [field: string]: unknown }

const textFields = [
  ['kind', 'kind'],
  ['name', 'name'],
  ['email', 'email'],
  ['phone', 'phone'],
  ['street', 'street'],
  ['city', 'city'],
  ['region', 'region'],
  ['postcode', 'postcode'],
  ['country', 'country'],
  ['language', 'language'],
  ['preferredChannel', 'preferred_channel'],
  ['note', 'note'],
  ['mailRefusal', 'mail_refusal'],
  ['voidReason', 'void_reason'],
] as const
const instantFields = [
  ['mailsStoppedAt', 'mails_stopped_at'],
  ['mailRefusedAt', 'mail_refused_at'],
  ['voidedAt', 'voided_at'],
] as const

const set = sql(
  'customer-set',
  `update customer u set
     ${textFields.map(([field, column]) => `${column} = case when c.change ? '${field}' then c.change->>'${field}' else u.${column} end`).join(', ')},
     ${instantFields
       .map(
         ([field, column]) =>
           `${column} = case when c.change ? '${field}' then to_timestamp((c.change->>'${field}')::bigint / 1000.0) else u.${column} end`,
       )
       .join(', ')},
     merged_into_id = case when c.change ? 'mergedIntoId' then (c.change->>'mergedIntoId')::uuid else u.merged_into_id end,
     version = u.version + 1, updated_at = $2
   from jsonb_array_elements($1::jsonb) c(change) where u.id = (c.change->>'id')::uuid returning u.id, u.version`,
)
export const setCustomers = (tx: Tx, now: number, changes: readonly CustomerChange[]) =>
  tx.rows<{ id: string; version: number }>(set, [JSON.stringify(changes), at(now)])

const mergedInto = sql('customer-merged-into', 'select id from customer where merged_into_id = $1 order by id')
/** Entries that were merged into this one before. */
export const mergedIntoThis = async (db: Db, id: string): Promise<string[]> =>
  (await db.rows<{ id: string }>(mergedInto, [id])).map(row => row.id)

export type FormerDetail = {
  readonly id: string
  readonly customerId: string
  /** The entry that was merged into theirs. */
  readonly doubledId: string
  readonly field: 'name' | 'email' | 'phone'
  readonly value: string
}

const insertFormer = sql(
  'customer-former-insert',
  `insert into former_detail (id, customer_id, doubled_id, field, value, created_at)
   select f.id, f."customerId", f."doubledId", f.field, f.value, $2
     from jsonb_to_recordset($1::jsonb) as f(id uuid, "customerId" uuid, "doubledId" uuid, field text, value text)`,
)
export const insertFormerDetails = (tx: Tx, now: number, rows: readonly FormerDetail[]) =>
  tx.rows(insertFormer, [JSON.stringify(rows), at(now)])

const voidFormer = sql('customer-former-void', 'update former_detail set voided_at = $2 where id = any($1::uuid[])')
export const voidFormerDetails = (tx: Tx, now: number, ids: readonly string[]) => tx.rows(voidFormer, [ids, at(now)])

const handOverFormer = sql(
  'customer-former-hand-over',
  `update former_detail f set customer_id = c."customerId"
     from jsonb_to_recordset($1::jsonb) as c(id uuid, "customerId" uuid) where f.id = c.id`,
)
export const handOverFormerDetails = (tx: Tx, rows: readonly { readonly id: string; readonly customerId: string }[]) =>
  tx.rows(handOverFormer, [JSON.stringify(rows)])

const formerOf = sql(
  'customer-former-of',
  `select id, customer_id as "customerId", doubled_id as "doubledId", field, value from former_detail
    where customer_id = $1 and voided_at is null order by field desc, created_at, id`,
)
/** Names, phones and mail addresses that somebody is found by still, though they are theirs no more. */
export const formerDetailsOf = (db: Db, customerId: string) => db.rows<FormerDetail>(formerOf, [customerId])
