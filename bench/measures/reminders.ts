import { claimDue, holdPeopleDue, peopleAtOnce } from '../../src/features/reminders/claim.ts'
import { sweepReminders } from '../../src/features/reminders/sweep.ts'
import { dueReminders } from '../../tests/support/due-reminders.ts'
import type { Finding } from '../rig/finding.ts'
import type { Bench } from '../rig/measure.ts'
import { depsOn, now, open, settled } from '../rig/open.ts'
import { after, ratioOf, rounds } from '../rig/rounds.ts'
import { spreadOf } from '../rig/spread.ts'

const against = 'one INSERT … SELECT of the same'
const year = 365 * 86_400_000

/** Claiming what has come due, and writing its letters, against the least that could keep who is reminded of what. */
export async function reminders({ server, full }: Bench): Promise<Finding[]> {
  const count = full ? 50_000 : 2_000
  const url = await server.database()
  const db = open(url)
  await settled(db, { daily_mail_cap: 10_000_000 })
  await db.pool.query(
    'create table claimed (id uuid primary key, obligation_id uuid, rung int, state text, claimed_at timestamptz, unique (obligation_id, rung))',
  )
  const deps = depsOn(db, url, 1)
  let batch = 0
  const due =
    (later = 0) =>
    async () => {
      await db.pool.query('truncate customer, property, notice, mail, claimed cascade')
      await dueReminders(db.pool, `b${batch++}`, count, now)
      for (let n = 0; n < later; n++) await dueReminders(db.pool, `l${batch++}`, count, now + year)
      await db.pool.query('vacuum analyze')
    }
  const claimAll = async () => {
    for (let claimed = 1; claimed > 0; )
      claimed = await db.transaction(
        async tx => (await claimDue(tx, now, await holdPeopleDue(tx, now, peopleAtOnce))).length,
      )
  }
  const took = await rounds(
    {
      claim: after(due(), claimAll),
      among: after(due(10), claimAll),
      insert: after(due(), () =>
        db.pool.query(
          `insert into claimed (id, obligation_id, rung, state, claimed_at)
           select gen_random_uuid(), o.id, 1, 'claimed', $1 from obligation o
            where o.next_remind_at <= $1 and o.fulfilled_at is null`,
          [new Date(now)],
        ),
      ),
      moved: after(due(), () =>
        db.pool.query(
          `with written as (insert into notice (id, obligation_id, rung, round, state, claimed_at)
             select gen_random_uuid(), o.id, 1, o.round, 'claimed', $1 from obligation o
              where o.next_remind_at <= $1 and o.fulfilled_at is null returning obligation_id)
           update obligation o set next_remind_at = null from written w where o.id = w.obligation_id`,
          [new Date(now)],
        ),
      ),
      sweep: after(due(), () => sweepReminders(deps)),
    },
    3,
  )
  deps.mail.close()
  await db.close()
  const rate = (ms: readonly number[]) => `${spreadOf(ms.map(one => (count * 1000) / one)).median.toFixed(0)}/s`
  const many = count.toLocaleString('en')
  return [
    {
      row: 'P10',
      what: `claim of ${many} due, ${peopleAtOnce} people a transaction`,
      against,
      figure: ratioOf(took.claim, took.insert),
      aim: { atMost: 2 },
      note: `${rate(took.claim)} of ${rate(took.insert)}`,
    },
    {
      row: 'P10',
      what: 'the same claim',
      against: 'one statement that writes the notices and moves the obligations on',
      figure: ratioOf(took.claim, took.moved),
      note: `of ${rate(took.moved)}`,
    },
    {
      row: 'P10',
      what: 'the whole sweep, letters written',
      against,
      figure: ratioOf(took.sweep, took.insert),
      note: rate(took.sweep),
    },
    {
      row: 'P10',
      what: 'claim among ten times as many not yet due',
      against: 'none beside them',
      figure: ratioOf(took.among, took.claim),
      aim: { atMost: 1.2 },
    },
  ]
}
