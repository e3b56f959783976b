import { at, sql, type Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'

const stop = sql(
  'customer-stop-mails',
  `update customer set mails_stopped_at = $2, version = version + 1, updated_at = $3
    where id = $1 and (mails_stopped_at is null) = ($2::timestamptz is not null) returning version`,
)

/** Stops mails to a person at their own wish, or starts them again; saying it twice changes nothing. */
export async function stopMails(tx: Tx, act: Act, customerId: string, stopped: boolean): Promise<void> {
  const row = await tx.one<{ version: number }>(stop, [customerId, stopped ? at(act.now) : null, at(act.now)])
  if (!row) return
  const fields = ['mailsStoppedAt']
  const reason = stopped ? 'asked for no more mails' : 'asked for mails again'
  await recordWrite(tx, act, {
    action: 'correct',
    noun: 'customer',
    id: customerId,
    version: row.version,
    fields,
    reason,
  })
}

const refuse = sql(
  'customer-mail-refused',
  `update customer set mail_refused_at = $2, mail_refusal = $3, version = version + 1, updated_at = $2
    where id = $1 and mail_refused_at is null returning version`,
)

/** A mail server refused a person's address for good: kept in its words until the address is corrected. */
export async function markMailRefused(tx: Tx, now: number, customerId: string, reply: string): Promise<void> {
  const row = await tx.one<{ version: number }>(refuse, [customerId, at(now), reply])
  if (!row) return
  const act: Act = { actor: { kind: 'system', id: null }, now, requestId: '' }
  const fields = ['mailRefusedAt']
  await recordWrite(tx, act, { action: 'correct', noun: 'customer', id: customerId, version: row.version, fields })
}
