import { markMailRefused } from '../../src/features/customers/stop-mails.ts'
import { claimDue, holdPeopleDue } from '../../src/features/reminders/claim.ts'
import { homeownerMails } from '../../src/features/reminders/homeowner-mails.ts'
import { sweepReminders } from '../../src/features/reminders/sweep.ts'
import { withStaffMails } from '../../src/features/staff/staff-mail-owner.ts'
import { sendDueMails } from '../../src/platform/mail/send-due-mails.ts'
import { mailTransport } from '../../src/platform/mail/transport.ts'
import { dueReminders } from '../../tests/support/due-reminders.ts'
import { aMailSink } from '../../tests/support/mail-sink.ts'
import type { Finding } from '../rig/finding.ts'
import type { Bench } from '../rig/measure.ts'
import { depsOn, now, open, settled } from '../rig/open.ts'
import { ratioOf, rounds, tookOf } from '../rig/rounds.ts'
import { spreadOf } from '../rig/spread.ts'

const people = 50
const claimedAlike = `insert into claimed (id, obligation_id, rung, state, claimed_at)
  select gen_random_uuid(), o.id, 1, 'claimed', $1 from obligation o where o.next_remind_at <= $1 and o.fulfilled_at is null`

/** Claiming and writing what has come due, and sending it, each against the least that could do it. */
export async function reminders({ server, full }: Bench): Promise<Finding[]> {
  const count = full ? 50_000 : 1_000
  const url = await server.database()
  const db = open(url)
  await settled(db, { daily_mail_cap: 1_000_000 })
  await db.pool.query(
    'create table claimed (id uuid primary key, obligation_id uuid, rung int, state text, claimed_at timestamptz, unique (obligation_id, rung))',
  )
  const sink = await aMailSink()
  const deps = depsOn(db, url, 1, sink.url)
  let batch = 0
  const fresh = async () => {
    await db.pool.query('truncate customer, property, notice, mail, claimed cascade')
    await dueReminders(db.pool, `b${batch++}`, count, now)
    await db.pool.query('analyze')
  }
  const after = (prepare: () => Promise<unknown>, work: () => Promise<unknown>) => async () => {
    await prepare()
    return tookOf(work)()
  }
  const transport = mailTransport(sink.url)
  const messages = Array.from({ length: count }, (_, i) => aLetter(i))
  const took = await rounds(
    {
      claim: after(fresh, async () => {
        for (let held = people; held === people; )
          held = await db.transaction(
            async tx => (await claimDue(tx, now, await holdPeopleDue(tx, now, people))).length,
          )
      }),
      insert: after(fresh, () => db.pool.query(claimedAlike, [new Date(now)])),
      sweep: after(fresh, () => sweepReminders(deps)),
      send: after(
        async () => {
          await fresh()
          await sweepReminders(deps)
        },
        () =>
          sendDueMails(
            { ...deps, transport: deps.mail, owner: withStaffMails(homeownerMails(deps, markMailRefused), deps) },
            count,
          ),
      ),
      alone: tookOf(async () => {
        for (const message of messages) await transport.send(message)
      }),
      pool: tookOf(() => Promise.all(messages.map(transport.send))),
    },
    3,
  )
  transport.close()
  deps.mail.close()
  await db.close()
  await sink.close()
  const rate = (ms: readonly number[]) => `${spreadOf(ms.map(one => (count * 1000) / one)).median.toFixed(0)}/s`
  const mails = (against: string, alone: readonly number[], aim?: Finding['aim']): Finding => ({
    row: 'P11',
    what: `${count} mails to a local sink`,
    against,
    figure: ratioOf(alone, took.send),
    aim,
    note: `${rate(took.send)} of ${rate(alone)}`,
  })
  return [
    {
      row: 'P10',
      what: `claim of ${count} due, ${people} people a transaction`,
      against: 'one INSERT … SELECT',
      figure: ratioOf(took.claim, took.insert),
      aim: { atMost: 2 },
      note: rate(took.claim),
    },
    {
      row: 'P10',
      what: 'the whole sweep, letters written',
      against: 'one INSERT … SELECT',
      figure: ratioOf(took.sweep, took.insert),
      note: rate(took.sweep),
    },
    mails('the mail library alone, its whole pool', took.pool, { atLeast: 0.7 }),
    mails('the mail library alone, one at a time', took.alone),
  ]
}

const aLetter = (i: number) => ({
  from: 'office@clearwell.example',
  to: `b-${i}@home.example`,
  subject: 'A radon test is due',
  text: 'Your home is to be tested again.\n'.repeat(40),
  html: '<p>Your home is to be tested again.</p>\n'.repeat(60),
  messageId: `<bench-${i}@clearwell.example>`,
})
