import { type Db, sql, type Tx } from '../../platform/db/client.ts'

type HandedOver = { readonly id: string; readonly customerId: string }

const mails = sql('reminders-mails-of', 'select id from mail where customer_id = $1 order by id')
/** Every mail to somebody, gone or on its way. */
export const mailsTo = async (db: Db, customerId: string): Promise<string[]> =>
  (await db.rows<{ id: string }>(mails, [customerId])).map(({ id }) => id)

// Owners are reminded, nobody else. Reached by their homes: there is no way in by the person.
const notices = sql(
  'reminders-notices-of',
  `select n.id from obligation o join notice n on n.obligation_id = o.id
    where n.customer_id = $1 and o.property_id in (select property_id from ownership where customer_id = $1) order by n.id`,
)
/** Every rung that somebody was reminded by, or is to be. */
export const noticesTo = async (db: Db, customerId: string): Promise<string[]> =>
  (await db.rows<{ id: string }>(notices, [customerId])).map(({ id }) => id)

// What has left went where it went, and what is being sent goes where it was about to.
const resting = `m.state in ('waiting', 'held') and m.lease_until is null`
const changeMails = sql(
  'reminders-hand-over-mails',
  `update mail m set customer_id = u.id,
     to_address = case when ${resting} then coalesce(u.email, m.to_address) else m.to_address end,
     to_name = case when ${resting} then u.name else m.to_name end
   from jsonb_to_recordset($1::jsonb) as c(id uuid, "customerId" uuid) join customer u on u.id = c."customerId" where m.id = c.id`,
)
/** Says whose mails are; those that have not left yet go to this person's address. */
export async function handOverMails(tx: Tx, rows: readonly HandedOver[]): Promise<void> {
  if (rows.length > 0) await tx.rows(changeMails, [JSON.stringify(rows)])
}

const changeNotices = sql(
  'reminders-hand-over-notices',
  `update notice n set customer_id = c."customerId"
     from jsonb_to_recordset($1::jsonb) as c(id uuid, "customerId" uuid) where n.id = c.id`,
)
/** Says whom rungs remind: the same rung never becomes a second one, whoever it is of. */
export async function handOverNotices(tx: Tx, rows: readonly HandedOver[]): Promise<void> {
  if (rows.length > 0) await tx.rows(changeNotices, [JSON.stringify(rows)])
}
