import { type AddressObject, type ParsedMail, simpleParser } from 'mailparser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { aDueHome, due, emptied } from '../jobs/due-homes.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'

/**
 * A reminder as a mail server takes it and a mail reader reads it: smtp-server receives it over a socket, mailparser
 * parses the bytes. Unsubscribing by RFC 8058, the programs' mark by RFC 3834.
 */
let app: TestApp
let mail: ParsedMail
let raw: string
let owner: { readonly id: unknown }

beforeAll(async () => {
  app = await buildTestApp({ at: due })
  await emptied(app)
  const property = { street: '8 Älder Street <rear>' }
  const home = await aDueHome(app.db.pool, [due], {
    customer: { name: 'Renée Öst', email: 'renee@home.example' },
    property,
  })
  owner = home.owner as { id: unknown }
  await app.runJobs()
  expect(app.mailbox.ledger).toHaveLength(1)
  raw = app.mailbox.ledger[0]!.raw
  mail = await simpleParser(raw)
})
afterAll(() => app.close())

const header = (name: string) =>
  new RegExp(`^${name}:((?:.|\\r\\n[ \\t])*)`, 'im').exec(raw)?.[1]?.replace(/\s+/g, ' ').trim()
const linkIn = (text: string) => /http:\/\/127\.0\.0\.1:\d+\/h\/[\w.~-]+/.exec(text)?.[0]
const whenStopped = async () =>
  (await app.db.pool.query('select mails_stopped_at as at from customer where id = $1', [owner.id])).rows[0].at

describe('a reminder that a mail server received', () => {
  it('goes to the owner alone, from the company, with its parts and names readable', () => {
    expect(app.mailbox.ledger[0]).toMatchObject({ to: ['renee@home.example'], answered: true })
    expect((mail.to as AddressObject).value).toEqual([{ name: 'Renée Öst', address: 'renee@home.example' }])
    expect(mail.cc ?? mail.bcc).toBeUndefined()
    expect(mail.subject).toContain('8 Älder Street')
    expect(header('content-type')).toContain('multipart/alternative')
  })

  it('says the same in text and in HTML: home, due day, reason and caution', () => {
    const same = ['Tue 12 May 2026', 'a home with a system is tested again', 'Caution', 'Clearwell Mitigation']
    for (const said of ['8 Älder Street <rear>', ...same]) expect(mail.text).toContain(said)
    const html = String(mail.html)
    for (const said of ['8 Älder Street &lt;rear>', ...same]) expect(html).toContain(said)
    expect(html).not.toContain('<rear>')
  })

  it('carries what mail programs ask of mass mail: date, its own id, the mark of a program, a way to stop', () => {
    expect(mail.messageId).toMatch(/^<[^@\s]+@[^@\s]+>$/)
    expect(mail.date).toBeInstanceOf(Date)
    expect(header('auto-submitted')).toBe('auto-generated')
    expect(header('list-unsubscribe-post')).toBe('List-Unsubscribe=One-Click')
    expect(header('list-unsubscribe')).toMatch(/^<http:\/\/127\.0\.0\.1:\d+\/h\/[\w.~-]+\/stop>$/)
  })

  it('has lines that fit the protocol and no blank left unfilled', () => {
    for (const line of raw.split('\r\n')) expect(Buffer.byteLength(line)).toBeLessThanOrEqual(998)
    expect(raw.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/)
    expect(mail.text! + mail.html).not.toMatch(/\[\[/)
  })

  it('opens the page of the home by its link, in text and HTML alike, and opening changes nothing', async () => {
    const link = linkIn(mail.text!)!
    expect(linkIn(String(mail.html))).toBe(link)
    const opened = await fetch(link, { redirect: 'manual' })
    expect(opened.status).toBe(303)
    expect(opened.headers.get('referrer-policy')).toBe('no-referrer')
    const cookie = opened.headers
      .getSetCookie()
      .map(one => one.split(';')[0])
      .join('; ')
    const page = await fetch(new URL(opened.headers.get('location')!, app.url), { headers: { cookie } })
    expect(page.status).toBe(200)
    expect(await page.text()).toContain('8 Älder Street &lt;rear>')
    expect(await whenStopped()).toBeNull()
  })

  it('stops the mails by one bare POST without cookies, and not by looking', async () => {
    const stop = /<(.*)>/.exec(header('list-unsubscribe')!)![1]!
    await fetch(stop)
    await fetch(stop, { method: 'HEAD' })
    expect(await whenStopped()).toBeNull()
    const body = new URLSearchParams({ 'List-Unsubscribe': 'One-Click' })
    for (const _ of ['first', 'again'])
      expect((await fetch(stop, { method: 'POST', body, redirect: 'manual' })).status).toBe(200)
    expect(await whenStopped()).toBe(app.clock.now())
  })
})
