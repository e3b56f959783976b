import { afterAll, beforeAll, beforeEach, expect, it } from 'vitest'
import { workOf } from '../../src/app.ts'
import { workOnce } from '../../src/platform/jobs/queue.ts'
import { aDueHome, due, emptied, notices } from '../jobs/due-homes.ts'
import { day, hour } from '../support/clock.ts'
import { reconcileMail } from '../support/reconcile.ts'
import { figures, seeded, size } from '../support/scale.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'

const start = Date.parse(due)
const homes = size(40, 2000)
let app: TestApp
beforeAll(async () => {
  app = await buildTestApp({ at: due })
})
beforeEach(async () => {
  await emptied(app)
  await app.db.pool.query('update company set daily_mail_cap = 100000')
})
afterAll(() => app.close())

const iso = (at: number) => new Date(at).toISOString()

it.each([
  ['three days', 3 * day],
  ['a month', 30 * day],
])(
  'F14: after %s without the service each owner gets one mail, however much came due, and its lateness is kept',
  async (_, off) => {
    const random = seeded(off)
    const rungsOf = new Map<string, readonly number[]>()
    const expected = new Set<string>()
    for (let n = 0; n < homes; n++) {
      // As many rungs as fall due in the silence, and one that is still to come.
      const missed = Array.from(
        { length: 1 + Math.floor(random() * 4) },
        () => start + Math.floor(random() * off),
      ).sort()
      const { owner, obligation } = await aDueHome(app.db.pool, [...missed, start + 60 * day].map(iso))
      rungsOf.set(obligation.id, missed)
      expected.add(String(owner.email))
    }
    // It comes back in the middle of a working day, and two processes start at once.
    app.clock.set(start + off + 2 * hour)
    const { handlers } = workOf(app)
    for (let n = 0; n <= homes / 60; n++) {
      await Promise.all([app.runJobs(), workOnce(app.db, handlers, app.log)])
      app.clock.advance(60_000)
    }
    const back = start + off + 2 * hour
    const to = app.mailbox.ledger.map(line => line.to[0]!)
    expect(new Set(to)).toEqual(expected)
    expect(to).toHaveLength(homes)
    expect(await reconcileMail(app.db.pool, app.mailbox.ledger)).toMatchObject({
      lost: [],
      duplicated: [],
      unexplained: [],
    })
    const kept = await notices(app.db.pool)
    let skipped = 0
    for (const [id, missed] of rungsOf) {
      const own = kept.filter(notice => notice.obligationId === id)
      expect(own.map(notice => notice.state)).toEqual([...missed.slice(1).map(() => 'skipped'), 'sent'])
      const late = Math.floor((back - missed.at(-1)!) / day)
      expect(own.at(-1)!.reason).toBe(late >= 1 ? `late by ${late} days` : null)
      skipped += missed.length - 1
    }
    figures('F14', { 'off days': off / day, homes, mails: to.length, 'rungs skipped': skipped })
  },
)
