import { markMailRefused } from '../../src/features/customers/stop-mails.ts'
import { homeownerMails } from '../../src/features/reminders/homeowner-mails.ts'
import { sweepReminders } from '../../src/features/reminders/sweep.ts'
import { withStaffMails } from '../../src/features/staff/staff-mail-owner.ts'
import type { Tx } from '../../src/platform/db/client.ts'
import { queueMails } from '../../src/platform/mail/queue-mail.ts'
import { sendDueMails } from '../../src/platform/mail/send-due-mails.ts'
import { mailTransport } from '../../src/platform/mail/transport.ts'
import { dueReminders } from '../../tests/support/due-reminders.ts'
import { aMailSink } from '../../tests/support/mail-sink.ts'
import { officeAddress, plainOwner } from '../../tests/support/mails.ts'
import type { Finding } from '../rig/finding.ts'
import type { Bench } from '../rig/measure.ts'
import { depsOn, now, open, settled } from '../rig/open.ts'
import { after, ratioOf, rounds } from '../rig/rounds.ts'
import { spreadOf } from '../rig/spread.ts'

const text = 'Your home is to be tested again.\n'.repeat(40)
const html = '<p>Your home is to be tested again.</p>\n'.repeat(60)
const subject = 'A radon test is due'

/** Mails sent with attempt and outcome kept, against the mail library alone: plain ones, and reminders read again first. */
export async function mailing({ server, full }: Bench): Promise<Finding[]> {
  const count = full ? 10_000 : 1_000
  const url = await server.database()
  const db = open(url)
  await settled(db, { daily_mail_cap: 1_000_000 })
  const sink = await aMailSink()
  const deps = depsOn(db, url, 1, sink.url)
  const sending = { ...deps, transport: deps.mail }
  const owner = withStaffMails(homeownerMails(deps, markMailRefused), deps)
  const transport = mailTransport(sink.url)
  const addresses = Array.from({ length: count }, (_, i) => `b-${i}@home.example`)
  const messages = addresses.map(aLetter)
  let batch = 0
  const emptied = async () => {
    sink.clear()
    await db.pool.query('truncate customer, property, notice, mail cascade')
  }
  const all = (work: () => Promise<unknown>) => async () => {
    await work()
    if (sink.ledger.length !== count) throw new Error(`${sink.ledger.length} of ${count} mails arrived`)
  }
  const took = await rounds(
    {
      plain: after(
        async () => {
          await emptied()
          await db.transaction(tx => queued(tx, addresses))
        },
        all(() => sendDueMails({ ...sending, owner: plainOwner() }, count)),
      ),
      reminders: after(
        async () => {
          await emptied()
          await dueReminders(db.pool, `m${batch++}`, count, now)
          await db.pool.query('analyze')
          await sweepReminders(deps)
        },
        all(() => sendDueMails({ ...sending, owner }, count)),
      ),
      pool: after(
        emptied,
        all(() => Promise.all(messages.map(message => transport.send(message)))),
      ),
      alone: after(
        emptied,
        all(async () => {
          for (const message of messages) await transport.send(message)
        }),
      ),
    },
    3,
  )
  transport.close()
  deps.mail.close()
  await db.close()
  await sink.close()
  const rate = (ms: readonly number[]) => `${spreadOf(ms.map(one => (count * 1000) / one)).median.toFixed(0)}/s`
  const finding = (name: 'plain' | 'reminders', what: string, peer: 'pool' | 'alone', aim?: Finding['aim']) => ({
    row: 'P11',
    what,
    against: `the mail library alone, ${peer === 'pool' ? 'its whole pool' : 'one at a time'}`,
    figure: ratioOf(took[peer], took[name]),
    aim,
    note: `${rate(took[name])} of ${rate(took[peer])}`,
  })
  const many = count.toLocaleString('en')
  return [
    finding('plain', `${many} mails, attempt and outcome kept`, 'pool', { atLeast: 0.7 }),
    finding('plain', `${many} mails, attempt and outcome kept`, 'alone'),
    finding('reminders', `${many} reminders, each read again first`, 'pool'),
  ]
}

const aLetter = (to: string, i: number) => ({
  from: officeAddress,
  to,
  subject,
  text,
  html,
  messageId: `<bench-${i}@clearwell.example>`,
})

const queued = (tx: Tx, addresses: readonly string[]) =>
  queueMails(
    tx,
    { now, requestId: 'bench', held: false, from: officeAddress },
    addresses.map(to => ({ kind: 'notice', toAddress: to, toName: '', subject, textBody: text, htmlBody: html })),
  )
