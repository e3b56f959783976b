import { simpleParser } from 'mailparser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { clientSecretHash, isSecret } from '../../../src/features/apps/client-secret.ts'
import { addStaff, setupSecret } from '../../../src/features/staff/add-staff.ts'
import { changePerson, disablePerson } from '../../../src/features/staff/change-person.ts'
import { findSession } from '../../../src/features/staff/find-session.ts'
import { passwordHashOf } from '../../../src/features/staff/password-hash.ts'
import { staffById, staffByMail } from '../../../src/features/staff/queries.ts'
import { openStaffToken } from '../../../src/features/staff/staff-token.ts'
import type { Role } from '../../../src/platform/auth/actor.ts'
import { day, hour } from '../../support/clock.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'
import { aVisitor } from '../../support/visitor.ts'

const password = 'lantern gravel oboe'
const minute = 60_000
let service: TestApp

beforeAll(async () => {
  service = await buildTestApp()
})
afterAll(() => service.close())

const operator = () => ({ actor: { kind: 'operator', id: null }, now: service.clock.now(), requestId: 'test' }) as const
let count = 0
async function aColleague(roles: Role[] = ['office']) {
  const email = `colleague-${++count}@clearwell.example`
  const passwordHash = await passwordHashOf(password)
  const id = await service.db.transaction(tx =>
    addStaff(tx, operator(), { email, name: 'Kit Doran', roles, passwordHash }),
  )
  return { id, email }
}
async function signedIn(email: string, typed = password) {
  const browser = aVisitor(service.app)
  await browser.get('/sign-in')
  const answer = await browser.send('/sign-in', { email, password: typed })
  return { browser, ok: answer.status === 303 }
}
const invitation = { name: 'Noor Haas', roles: ['office', 'crew'], phone: '' }
const linkIn = (text: string) => /\/set-password\/[\w-]+/.exec(text)?.[0] ?? ''
/** The link in the last mail that the mail server took for an address. */
async function linkMailedTo(email: string): Promise<string> {
  await service.runJobs()
  const line = service.mailbox.ledger.findLast(message => message.to.includes(email))
  return linkIn((await simpleParser(line?.raw ?? '')).text ?? '')
}

describe('people of the company are kept from', () => {
  it.each(['/staff', '/staff/new'])('office and crew: %s', async path => {
    expect((await (await service.as.office()).get(path)).status).toBe(403)
    expect((await (await service.as.crew()).get(path)).status).toBe(403)
  })

  it('an owner whose password was entered over a quarter of an hour ago, until it is entered again', async () => {
    const { email } = await aColleague(['owner'])
    const { browser } = await signedIn(email)
    service.clock.advance(15 * minute - 1)
    expect((await browser.get('/staff')).status).toBe(200)
    service.clock.advance(1)
    const asked = await browser.get('/staff?x=1')
    expect(asked.headers.location).toBe('/confirm?next=%2Fstaff%3Fx%3D1')
    await browser.get(asked.headers.location!)
    expect((await browser.send('/confirm', { password: 'wrong one', next: '/staff' })).status).toBe(422)
    expect((await browser.get('/staff')).status).toBe(303)
    await browser.get('/confirm')
    const on = await browser.send('/confirm', { password, next: '/staff?x=1' })
    expect([on.status, on.headers.location]).toEqual([303, '/staff?x=1'])
    expect((await browser.get('/staff')).status).toBe(200)
  })

  it('a form sent after that quarter of an hour: it is asked for the password and offered again', async () => {
    const { email } = await aColleague(['owner'])
    const { browser } = await signedIn(email)
    await browser.get('/staff/new')
    service.clock.advance(16 * minute)
    const asked = await browser.send('/staff/new', { ...invitation, email: 'late@clearwell.example' })
    expect(asked.status).toBe(403)
    expect(asked.text).toContain('Is it still you?')
    expect(await staffByMail(service.db, 'late@clearwell.example')).toBeNull()
  })
})

describe('an invitation', () => {
  it('with faults comes back with all of them and what was typed', async () => {
    const owner = await service.as.owner()
    const answer = await owner.submit('/staff/new', { name: '', email: 'noor at clearwell', phone: '4711' })
    expect(answer.status).toBe(422)
    for (const said of ['is no mail address', 'Tick at least one role', 'value="noor at clearwell"', 'value="4711"'])
      expect(answer.text).toContain(said)
  })

  it('goes by mail with a link of which nothing that opens is kept, and opens once', async () => {
    const owner = await service.as.owner()
    const email = 'noor@clearwell.example'
    expect((await owner.submit('/staff/new', { ...invitation, email })).status).toBe(303)
    expect(await staffByMail(service.db, email)).toMatchObject({
      roles: ['office', 'crew'],
      hasPassword: false,
    })
    const kept = JSON.stringify((await service.db.pool.query('select * from mail where to_address = $1', [email])).rows)
    expect(kept).toContain('[[link]]')
    expect(kept).not.toContain('/set-password/')
    // A long link breaks on a phone instead of pushing the mail wide.
    expect(kept).toContain('overflow-wrap:anywhere')

    const link = await linkMailedTo(email)
    expect(link).not.toBe('')
    const browser = aVisitor(service.app)
    for (let looks = 0; looks < 3; looks++) expect((await browser.get(link)).status).toBe(200)
    const set = await browser.send(link, { password, again: password })
    expect([set.status, set.headers.location]).toEqual([303, '/'])
    expect((await browser.get('/account')).text).toContain('Noor Haas')
    expect((await browser.get(link)).status).toBe(404)
    expect((await signedIn(email)).ok).toBe(true)
  })

  it('to somebody who is there already is refused at the field', async () => {
    const owner = await service.as.owner()
    const { email } = await aColleague()
    const answer = await owner.submit('/staff/new', { ...invitation, email })
    expect([answer.status, answer.text.includes('belongs to somebody of the company already')]).toEqual([422, true])
  })

  it('expires after seven days', async () => {
    const owner = await service.as.owner()
    const email = 'slow@clearwell.example'
    await owner.submit('/staff/new', { ...invitation, email })
    const link = await linkMailedTo(email)
    service.clock.advance(7 * day - minute)
    expect((await aVisitor(service.app).get(link)).status).toBe(200)
    service.clock.advance(minute)
    expect((await aVisitor(service.app).get(link)).status).toBe(404)
  })

  it('without a mail server is a link shown once to the owner, which opens for an hour', async () => {
    const unmailed = await buildTestApp({ env: { SMTP_URL: '' } })
    try {
      const owner = await unmailed.as.owner()
      const answer = await owner.submit('/staff/new', { ...invitation, email: 'noor@clearwell.example' })
      const link = linkIn(answer.text)
      expect((await aVisitor(unmailed.app).get(link)).status).toBe(200)
      expect((await unmailed.db.pool.query('select 1 from mail')).rowCount).toBe(0)
      unmailed.clock.advance(hour)
      expect((await aVisitor(unmailed.app).get(link)).status).toBe(404)
    } finally {
      await unmailed.close()
    }
  })
})

describe('a forgotten password', () => {
  const ask = async (email: string) => {
    const browser = aVisitor(service.app)
    await browser.get('/forgotten')
    return browser.send('/forgotten', { email })
  }
  const mailsTo = async (email: string) =>
    (await service.db.pool.query('select kind from mail where to_address = $1', [email])).rows.length

  it('answers alike, and in the same time, for an address nobody has', async () => {
    const { email } = await aColleague()
    const timed = async (address: string) => {
      const start = performance.now()
      const answer = await ask(address)
      return { text: answer.text.replaceAll(address, ''), ms: performance.now() - start }
    }
    const [known, unknown] = [await timed(email), await timed('nobody@clearwell.example')]
    expect(unknown.text).toBe(known.text)
    expect(Math.abs(known.ms - unknown.ms)).toBeLessThan(250)
    expect([await mailsTo(email), await mailsTo('nobody@clearwell.example')]).toEqual([1, 0])
  })

  it('mails no more than three links an hour, and none to somebody disabled', async () => {
    const { email } = await aColleague()
    for (let n = 0; n < 5; n++) await ask(email)
    expect(await mailsTo(email)).toBe(3)
    const gone = await aColleague()
    await service.db.transaction(tx => disablePerson(tx, operator(), gone.id, 1))
    await ask(gone.email)
    expect(await mailsTo(gone.email)).toBe(0)
  })

  it('is set anew behind the link, ends every session and every other link', async () => {
    const { id, email } = await aColleague()
    const { browser } = await signedIn(email)
    const other = await service.db.transaction(tx => setupSecret(tx, service.clock.now(), id))
    await ask(email)
    const link = await linkMailedTo(email)
    const fresh = aVisitor(service.app)
    await fresh.get(link)
    expect((await fresh.send(link, { password: 'thimble orchard nine', again: 'thimble orchard nine' })).status).toBe(
      303,
    )
    expect((await browser.get('/account')).status).toBe(303)
    expect((await fresh.get(`/set-password/${other}`)).status).toBe(404)
    expect((await signedIn(email)).ok).toBe(false)
    expect((await signedIn(email, 'thimble orchard nine')).ok).toBe(true)
  })
})

describe('one’s own password', () => {
  it.each([
    [
      'a wrong present one',
      { present: 'not it at all', password: 'thimble orchard nine', again: 'thimble orchard nine' },
      'is not your present password',
    ],
    [
      'two that differ',
      { present: password, password: 'thimble orchard nine', again: 'thimble orchard ten' },
      'is not the same as the first',
    ],
    ['one of eleven characters', { present: password, password: 'elevenchars', again: 'elevenchars' }, 'at least 12'],
    ['a common one', { present: password, password: 'unbelievable', again: 'unbelievable' }, 'first that are guessed'],
  ])('is not changed with %s', async (_, typed, said) => {
    const { email } = await aColleague()
    const { browser } = await signedIn(email)
    await browser.get('/account')
    const answer = await browser.send('/account/password', typed)
    expect([answer.status, answer.text.includes(said)]).toEqual([422, true])
    expect((await signedIn(email)).ok).toBe(true)
  })

  it('changed, ends all other sessions and keeps this one', async () => {
    const { email } = await aColleague()
    const [here, there] = [(await signedIn(email)).browser, (await signedIn(email)).browser]
    await here.get('/account')
    const next = 'thimble orchard nine'
    expect((await here.send('/account/password', { present: password, password: next, again: next })).status).toBe(303)
    expect((await here.get('/account')).status).toBe(200)
    expect((await there.get('/account')).status).toBe(303)
    expect((await signedIn(email, next)).ok).toBe(true)
  })

  it('may have sixty-four characters and more, of any kind, none of which is cut off', async () => {
    const { email } = await aColleague()
    const { browser } = await signedIn(email)
    await browser.get('/account')
    const long = `${'Ünïcode räum 漢字 '.repeat(6)}`
    expect(
      (await browser.send('/account/password', { present: password, password: `${long}a`, again: `${long}a` })).status,
    ).toBe(303)
    expect((await signedIn(email, `${long}b`)).ok).toBe(false)
    expect((await signedIn(email, `${long}a`)).ok).toBe(true)
  })
})

describe('sessions', () => {
  const endsOf = (html: string) => [...html.matchAll(/name="sessionId" value="([^"]+)"/g)].map(([, id]) => id!)

  it('are listed and ended one by one by whose they are, and by nobody else', async () => {
    const { email } = await aColleague()
    const [here, there] = [(await signedIn(email)).browser, (await signedIn(email)).browser]
    const [other] = endsOf((await here.get('/account')).text)
    const stranger = await service.as.office()
    expect((await stranger.submit('/account/end-session', { sessionId: other, _key: undefined })).status).toBe(404)
    expect((await there.get('/account')).status).toBe(200)
    expect((await here.send('/account/end-session', { sessionId: other })).status).toBe(303)
    expect((await there.get('/account')).status).toBe(303)
  })

  it('of others are ended by the owner', async () => {
    const owner = await service.as.owner()
    const { id, email } = await aColleague()
    const { browser } = await signedIn(email)
    const [session] = endsOf((await owner.get(`/staff/${id}`)).text)
    expect((await owner.submit(`/staff/${id}/end-session`, { sessionId: session })).status).toBe(303)
    expect((await browser.get('/account')).status).toBe(303)
  })
})

describe('access', () => {
  it('is taken away at once, from every session', async () => {
    const owner = await service.as.owner()
    const { id, email } = await aColleague()
    const { browser } = await signedIn(email)
    expect((await owner.submit(`/staff/${id}/disable`, { version: 1 })).status).toBe(303)
    expect((await browser.get('/account')).status).toBe(303)
    expect((await signedIn(email)).ok).toBe(false)
    expect((await owner.submit(`/staff/${id}/enable`, { version: 2 })).status).toBe(303)
    expect((await signedIn(email)).ok).toBe(true)
  })

  it('by roles counts from the next request', async () => {
    const owner = await service.as.owner()
    const { id, email } = await aColleague(['office'])
    const { browser } = await signedIn(email)
    expect((await browser.get('/company')).status).toBe(403)
    expect((await owner.submit(`/staff/${id}`, { ...invitation, roles: 'owner', version: 1 })).status).toBe(303)
    expect((await browser.get('/company')).status).toBe(200)
  })

  it('changed by two at once is the first one’s; the later is told and nothing is overwritten', async () => {
    const owner = await service.as.owner()
    const { id } = await aColleague()
    expect((await owner.submit(`/staff/${id}`, { ...invitation, version: 1 })).status).toBe(303)
    const late = await owner.submit(`/staff/${id}`, { ...invitation, name: 'Somebody Else', version: 1 })
    expect(late.status).toBe(412)
    expect((await staffById(service.db, id))?.name).toBe('Noor Haas')
  })

  it('of the last owner can neither be taken away nor given up, by one or by two at once', async () => {
    const small = await buildTestApp()
    try {
      const [one, two] = [await small.as.owner(), await small.as.owner()]
      const by = { actor: { kind: 'operator', id: null }, now: small.clock.now(), requestId: 'test' } as const
      const demote = (id: string) => small.db.transaction(tx => changePerson(tx, by, id, 1, { roles: ['office'] }))
      const outcomes = await Promise.allSettled([demote(one.id), demote(two.id)])
      expect(outcomes.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected'])
      const left = (await staffById(small.db, one.id))?.roles.includes('owner') ? one : two
      await expect(small.db.transaction(tx => disablePerson(tx, by, left.id, 1))).rejects.toMatchObject({
        status: 409,
        code: 'last-owner',
      })
    } finally {
      await small.close()
    }
  })
})

it('nothing the database holds is a session, a one-time link or a client secret', async () => {
  const owner = await service.as.owner()
  await owner.submit('/staff/new', { ...invitation, email: 'dump@clearwell.example' })
  const program = await service.as.app({ scopes: ['company:read'] })
  const { rows: tables } = await service.db.pool.query(
    `select table_name as name from information_schema.tables where table_schema = 'public'`,
  )
  const texts = new Set<string>()
  for (const { name } of tables) {
    const { rows } = await service.db.pool.query(`select * from "${name}"`)
    for (const value of rows.flatMap(row => Object.values(row))) {
      const written = Buffer.isBuffer(value)
        ? ['base64url', 'hex'].map(as => value.toString(as as 'hex'))
        : [String(value)]
      for (const text of written.flatMap(text => text.match(/[\w.-]{20,}/g) ?? [])) texts.add(text)
    }
  }
  expect(texts.size).toBeGreaterThan(100)
  const now = service.clock.now()
  for (const text of texts) {
    expect(await findSession(service.db, text, now)).toBeNull()
    expect(await openStaffToken(service.db, text, now)).toBeNull()
    expect(isSecret(text, clientSecretHash(program.secret))).toBe(false)
  }
  expect(await findSession(service.db, owner.cookie.value, now)).not.toBeNull()
})
