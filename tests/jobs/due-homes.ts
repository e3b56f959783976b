import { randomUUID } from 'node:crypto'
import type pg from 'pg'
import { aCustomerRow, anOwnership, aPropertyRow, insertRow, type Row, type Sql, writtenAt } from '../support/rows.ts'
import type { TestApp } from '../support/test-app.ts'

/** Monday 2 March 2026, 09:00 in Chicago. */
export const due = '2026-03-02T15:00:00Z'

/** The service as it was built: no homes, no people, reminders released, the clock at `due`, an empty mailbox. */
export async function emptied(app: TestApp): Promise<void> {
  app.clock.set(due)
  app.mailbox.clear()
  app.mailbox.behave()
  await app.db.pool.query('truncate customer, property, notice, mail cascade')
  await app.db.pool.query('truncate graphile_worker._private_jobs')
  await app.db.pool.query(
    'update company set daily_mail_cap = 100, reminders_released_at = $1, result_mail_on_acceptance = false',
    [writtenAt],
  )
}

type Over = Readonly<Record<string, unknown>>
export type Due = { readonly property: Row; readonly obligation: Row; readonly owner: Row }

/** Something owed at a home, with the instants at which its owner is to be reminded. */
export async function anObligation(db: Sql, property: Row, remindAt: readonly string[], over: Over = {}): Promise<Row> {
  const rungs = remindAt.map(text => new Date(text))
  return insertRow(db, 'obligation', {
    id: randomUUID(),
    property_id: property.id,
    kind: 'retest',
    cause_id: randomUUID(),
    due_on: '2026-05-12',
    due_at: new Date('2026-05-13T04:59:59.999Z'),
    remind_at: rungs,
    next_remind_at: rungs[0] ?? null,
    because: JSON.stringify([{ text: 'a home with a system is tested again', rule: null }]),
    owed_by: 'homeowner',
    created_at: writtenAt,
    updated_at: writtenAt,
    ...over,
  })
}

/** A home with an owner and one obligation, due to be reminded at these instants. */
export async function aDueHome(
  db: Sql,
  remindAt: readonly string[],
  over: { owner?: Row; property?: Over; obligation?: Over; customer?: Over } = {},
): Promise<Due> {
  const owner = over.owner ?? (await aCustomerRow(db, over.customer))
  const property = await aPropertyRow(db, over.property)
  await anOwnership(db, property, owner)
  return { property, owner, obligation: await anObligation(db, property, remindAt, over.obligation) }
}

export type NoticeRow = { obligationId: string; rung: number; round: number; state: string; reason: string | null }
export const notices = async (pool: pg.Pool): Promise<NoticeRow[]> =>
  (
    await pool.query<NoticeRow>(
      'select obligation_id as "obligationId", rung, round, state, reason from notice order by obligation_id, round, rung',
    )
  ).rows

export type MailRow = {
  id: string
  kind: string
  state: string
  to: string
  text: string
  html: string
  subject: string
  attempts: number
  messageId: string
  reply: string | null
  linkId: string | null
}
export const mails = async (pool: pg.Pool): Promise<MailRow[]> =>
  (
    await pool.query<MailRow>(
      `select id, kind, state, to_address as "to", text_body as text, html_body as html, subject, attempts,
         message_id as "messageId", last_reply as reply, link_id as "linkId" from mail order by created_at, id`,
    )
  ).rows
