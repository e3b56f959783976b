import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { aDueHome, due, emptied, mails } from '../../jobs/due-homes.ts'
import type { Person } from '../../support/actors.ts'
import { refusing } from '../../support/mail-sink.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let app: TestApp
let office: Person

beforeAll(async () => {
  app = await buildTestApp({ at: due })
  office = await app.as.office()
})
beforeEach(() => emptied(app))
afterAll(() => app.close())

describe('the outbox', () => {
  test('lists a failed mail with the words of the server, and sends it again', async () => {
    await aDueHome(app.db.pool, [due])
    app.mailbox.behave(refusing('RCPT', 550, '5.1.1 No such user'))
    await app.runJobs()
    const page = await office.get('/outbox')
    expect(page.status).toBe(200)
    expect(page.text).toContain('5.1.1 No such user')
    app.mailbox.behave()
    expect((await office.submit('/outbox/failed/resend')).status).toBe(303)
    await app.runJobs()
    expect(app.mailbox.ledger).toHaveLength(1)
  })

  test('shows a mail as its reader gets it: a box without scripts, links to the preview', async () => {
    const { property } = await aDueHome(app.db.pool, [due], { customer: { name: '<script>x()</script>' } })
    await app.runJobs()
    const [mail] = await mails(app.db.pool)
    const page = await office.get(`/outbox/${mail!.id}`)
    expect(page.text).toContain('sandbox="allow-popups allow-popups-to-escape-sandbox"')
    expect(page.text).not.toContain('<script>x()')
    const body = await office.get(`/outbox/${mail!.id}/html`)
    expect(body.headers['content-security-policy']).toMatch(/default-src 'none'.*sandbox/)
    expect(body.text).toContain(`/homes/${property.id}/link`)
    expect(body.text).not.toMatch(/\/h\/|<script>x/)
    expect((await office.get(`/homes/${property.id}/link`)).text).toContain('as staff')
  })

  test('where no mail server is set, lets whoever tries it out follow the link as the homeowner', async () => {
    const alone = await buildTestApp({ at: due, env: { SMTP_URL: '' } })
    await aDueHome(alone.db.pool, [due])
    await alone.runJobs()
    const [mail] = await mails(alone.db.pool)
    const page = await (await alone.as.office()).get(`/outbox/${mail!.id}`)
    const [address] = /http:\S+\/h\/[\w.-]+/.exec(page.text) ?? []
    const opened = await fetch(address!, { redirect: 'manual' })
    expect([opened.status, opened.headers.get('location')]).toEqual([303, expect.stringMatching(/^\/h\/home\//)])
    await alone.close()
  })

  test('is closed to a crew', async () => {
    const crew = await app.as.crew()
    for (const path of ['/outbox', '/outbox/today']) expect((await crew.get(path)).status).toBe(403)
  })

  test('says what would go out today and to whom; the owner releases and pauses', async () => {
    const { owner } = await aDueHome(app.db.pool, [due])
    await app.db.pool.query('update company set reminders_released_at = null')
    const boss = await app.as.owner()
    const page = await boss.get('/outbox/today')
    expect(page.text).toContain(String(owner.email))
    const version = /name="version" value="(\d+)"/.exec(page.text)![1]
    expect((await boss.submit('/outbox/today', { released: 'yes', version })).status).toBe(303)
    await app.runJobs()
    expect(app.mailbox.ledger).toHaveLength(1)
    expect((await office.submit('/outbox/today', { released: 'no', version: 2 })).status).toBe(403)
  })

  test('leaves releasing to the owner: the office reads that, and finds no button it may not press', async () => {
    await app.db.pool.query('update company set reminders_released_at = null')
    const shown = (await office.get('/outbox/today')).text
    expect(shown).toContain('Only an owner of the company releases and pauses them.')
    expect(shown).not.toContain('Release reminders')
    expect((await office.get('/outbox')).text).toContain('Reminders are paused: none goes out.')
  })

  test('says in each state what would stand there, when nothing does', async () => {
    for (const state of ['waiting', 'refused', 'held', 'sent', 'dropped'])
      expect((await office.get(`/outbox?state=${state}`)).text).toMatch(/class="empty"><span>[^<]{50,}/)
    expect((await office.get('/outbox')).text).toContain('Reminders are released')
  })

  test('leads from a refused mail to its person, and sends it to the address known then', async () => {
    const { owner } = await aDueHome(app.db.pool, [due])
    app.mailbox.behave(refusing('RCPT', 550, '5.1.1 No such user'))
    await app.runJobs()
    app.mailbox.behave()
    const [mail] = await mails(app.db.pool)
    expect((await office.get(`/outbox/${mail!.id}`)).text).toContain(`href="/people/${owner.id}/change"`)
    const program = await app.as.app()
    const person = await program.get(`/v1/customers/${owner.id}`)
    await program
      .patch(`/v1/customers/${owner.id}`, { email: 'right@home.example', reason: 'Misread' }, person.body.version)
      .expect(200)
    expect((await office.submit(`/outbox/${mail!.id}/resend`)).status).toBe(303)
    await app.runJobs()
    expect(app.mailbox.ledger.map(line => line.to)).toEqual([['right@home.example']])
  })

  test.each([
    ['takes it', undefined, 'The mail server took it'],
    ['refuses it', refusing('RCPT', 554, '5.7.1 Relay denied'), '5.7.1 Relay denied'],
  ])('tells a test mail’s fate as the server says it, when it %s', async (_, rule, words) => {
    app.mailbox.behave(rule)
    const answer = await office.submit('/outbox/test', { to: 'me@clearwell.example' })
    expect(answer.text).toContain(words)
  })
})
