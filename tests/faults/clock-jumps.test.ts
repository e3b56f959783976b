import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { appOfToken } from '../../src/features/apps/app-of-token.ts'
import { sweepReminders } from '../../src/features/reminders/sweep.ts'
import { insertStaffToken, openStaffToken, shownSecret } from '../../src/features/staff/staff-token.ts'
import { insertLinks } from '../../src/platform/auth/link-queries.ts'
import { linkTokenFor } from '../../src/platform/auth/link-token.ts'
import { tokenKeysFrom } from '../../src/platform/auth/token-keys.ts'
import { claimMails } from '../../src/platform/mail/mail-queries.ts'
import { aDueHome, due, emptied, mails, notices } from '../jobs/due-homes.ts'
import { day, hour } from '../support/clock.ts'
import { refusing } from '../support/mail-sink.ts'
import { reconcileMail } from '../support/reconcile.ts'
import { figures, seeded, size } from '../support/scale.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'

const start = Date.parse(due)
let app: TestApp
beforeAll(async () => {
  app = await buildTestApp({ at: due })
})
beforeEach(() => emptied(app))
afterAll(() => app.close())

const iso = (at: number) => new Date(at).toISOString()
const sentTo = () => app.mailbox.ledger.map(line => line.to[0]!)

describe('F12: a clock that jumps', () => {
  it.each([
    ['an hour ahead', hour],
    ['an hour back', -hour],
    ['a day back', -day],
    ['four hundred days ahead', 400 * day],
  ])('%s and later returns sends nothing early and nothing twice', async (_, jump) => {
    const random = seeded(7)
    const byAddress = new Map<string, readonly number[]>()
    for (let n = 0; n < size(12, 200); n++) {
      const first = start + Math.floor(random() * 20 * day)
      const rungs = [first, first + 14 * day, first + 30 * day]
      const { owner } = await aDueHome(app.db.pool, rungs.map(iso))
      byAddress.set(String(owner.email), rungs)
    }
    await app.db.pool.query('update company set send_from_hour = 0, send_to_hour = 24, daily_mail_cap = 100000')
    const work = async () => {
      const before = sentTo().length
      await app.runJobs()
      for (const address of sentTo().slice(before))
        expect(byAddress.get(address)!.filter(rung => rung <= app.clock.now()).length).toBeGreaterThan(0)
    }
    await work()
    for (let n = 0; n < 4; n++) {
      app.clock.advance(2 * day)
      await work()
    }
    app.clock.advance(jump)
    await work()
    await work()
    app.clock.advance(-jump)
    for (let n = 0; n < 25; n++) {
      app.clock.advance(2 * day)
      await work()
    }
    const reckoning = await reconcileMail(app.db.pool, app.mailbox.ledger)
    expect(reckoning).toMatchObject({ lost: [], duplicated: [], renamed: [], unexplained: [] })
    const claims = await notices(app.db.pool)
    expect(new Set(claims.map(claim => `${claim.obligationId} ${claim.rung} ${claim.round}`)).size).toBe(claims.length)
    expect(claims).toHaveLength(3 * byAddress.size)
    for (const [address, rungs] of byAddress) {
      const times = sentTo().filter(to => to === address).length
      expect(times).toBeGreaterThan(0)
      expect(times).toBeLessThanOrEqual(rungs.length)
    }
    figures('F12', { 'jump h': jump / hour, homes: byAddress.size, mails: reckoning.accepted, early: 0, twice: 0 })
  })

  it('ahead does not strand a mail that was put off meanwhile', async () => {
    await aDueHome(app.db.pool, [due])
    app.clock.advance(400 * day)
    app.mailbox.behave(refusing('RCPT', 450, '4.2.1 Mailbox busy'))
    await app.runJobs()
    expect((await mails(app.db.pool)).map(mail => mail.state)).toEqual(['waiting'])
    app.mailbox.behave()
    app.clock.advance(-400 * day)
    await app.runJobs()
    expect((await mails(app.db.pool)).map(mail => mail.state)).toEqual(['sent'])
    expect(app.mailbox.ledger).toHaveLength(1)
  })

  it('ahead does not strand a mail whose sender died meanwhile', async () => {
    await aDueHome(app.db.pool, [due])
    app.clock.advance(400 * day)
    await sweepReminders(app)
    expect(await app.db.transaction(tx => claimMails(tx, app.clock.now(), 1))).toHaveLength(1)
    app.clock.advance(-400 * day)
    await app.runJobs()
    expect(app.mailbox.ledger).toHaveLength(1)
  })
})

describe('F12: an app’s token', () => {
  const minute = hour / 60
  /** Whose token it is in the eyes of a process that has just been started. */
  const elsewhere = async (token: string) => {
    const keys = await tokenKeysFrom(app.config.tokenSigningKeys)
    return appOfToken(app.db, { keys, origin: app.config.publicUrl })(token, app.clock.now())
  }

  it('that was refused because it had lapsed stays refused when the clock is set back, in every process', async () => {
    const program = await app.as.app({ scopes: ['company:read'] })
    expect((await program.get('/v1/company')).status).toBe(200)
    expect(await elsewhere(program.token)).toMatchObject({ id: program.id })
    app.clock.advance(20 * minute)
    expect((await program.get('/v1/company')).status).toBe(401)
    app.clock.advance(-15 * minute)
    expect((await program.get('/v1/company')).status).toBe(401)
    expect(await elsewhere(program.token)).toBeNull()
  })

  it('that was withdrawn stays so when the clock runs on for a day and is set back', async () => {
    const program = await app.as.app({ scopes: ['company:read'] })
    const form = { token: program.token }
    const { clientId, secret } = program
    await app.as.anonymous.post('/oauth/revoke').auth(clientId, secret).type('form').send(form).expect(200)
    app.clock.advance(day)
    await app.runJobs()
    app.clock.advance(-day)
    expect(await elsewhere(program.token)).toBeNull()
  })
})

describe('F12: a link', () => {
  const linkOf = async (days: number) => {
    const { owner, property } = await aDueHome(app.db.pool, [iso(app.clock.now() + 30 * day)])
    const [id] = await app.db.transaction(tx =>
      insertLinks(tx, app.clock.now() - days * day, [
        { propertyId: String(property.id), customerId: String(owner.id), purpose: 'reminder' },
      ]),
    )
    return `/h/${linkTokenFor(app.config.linkKeys, id!)}`
  }
  const opens = async (path: string) => (await app.as.anonymous.get(path).redirects(0)).status === 303

  it('in a homeowner’s mail that expired stays closed when the clock is set back', async () => {
    const path = await linkOf(399)
    expect(await opens(path)).toBe(true)
    app.clock.advance(2 * day)
    await app.runJobs()
    app.clock.advance(-2 * day)
    expect(await opens(path)).toBe(false)
  })

  it('by which a person sets a password stays closed when the clock is set back', async () => {
    const staff = await app.as.office()
    const secret = shownSecret()
    await app.db.transaction(tx =>
      insertStaffToken(tx, app.clock.now(), { secret, staffId: staff.id, purpose: 'password' }),
    )
    expect(await openStaffToken(app.db, secret, app.clock.now())).toMatchObject({ staffId: staff.id })
    app.clock.advance(2 * hour)
    await app.runJobs()
    app.clock.advance(-2 * hour)
    expect(await openStaffToken(app.db, secret, app.clock.now())).toBeNull()
  })
})

describe('F12: a session', () => {
  it.each([
    ['that was tried after it had lapsed', async (look: () => Promise<unknown>) => look()],
    ['that lapsed while nobody came', async () => app.runJobs()],
  ])('%s stays ended when the clock is set back', async (_, meanwhile) => {
    const person = await app.as.office()
    const look = () => person.get('/account')
    expect((await look()).status).toBe(200)
    app.clock.advance(13 * hour)
    await meanwhile(look)
    for (const back of [hour, 12 * hour, day]) {
      app.clock.advance(-back)
      expect((await look()).text).not.toContain('Sign out')
    }
  })

  it('outlives a clock that is set back while it is in use, and is then counted from its last use', async () => {
    const person = await app.as.office()
    app.clock.advance(-day)
    expect((await person.get('/account')).status).toBe(200)
    app.clock.advance(day + 11 * hour)
    expect((await person.get('/account')).status).toBe(200)
    app.clock.advance(12 * hour)
    expect((await person.get('/account')).text).not.toContain('Sign out')
  })
})
