import { createTransport } from 'nodemailer'
import pg from 'pg'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { aDatabase, type TestDatabase } from '../support/database.ts'
import { aMailSink, greylisting, type MailSink, refusing } from '../support/mail-sink.ts'
import { smtpSteps, sqlSteps } from '../support/steps.ts'
import { aTcpProxy } from '../support/tcp-proxy.ts'

const message = {
  from: 'office@example.com',
  to: 'ann@example.com',
  subject: 'Hello',
  text: 'Text',
  messageId: '<1@example.com>',
}

describe('the mail sink', () => {
  let sink: MailSink
  beforeAll(async () => {
    sink = await aMailSink()
  })
  afterEach(() => {
    sink.behave()
    sink.clear()
  })
  afterAll(() => sink.close())
  const send = () => createTransport(sink.url).sendMail(message)

  it('writes down what it accepted', async () => {
    await send()
    expect(sink.ledger).toMatchObject([{ to: ['ann@example.com'], messageId: '<1@example.com>', answered: true }])
    expect(sink.asks.map(ask => ask.verb)).toEqual(['CONNECT', 'MAIL', 'RCPT', 'DATA'])
  })
  it('refuses with the reply it was told', async () => {
    sink.behave(refusing('RCPT', 550, '5.1.1 No such user', /ann@/))
    await expect(send()).rejects.toMatchObject({ responseCode: 550, response: expect.stringContaining('No such user') })
    expect(sink.ledger).toEqual([])
  })
  it('cuts the line before 250 and still keeps the copy, marked as unanswered', async () => {
    sink.behave(ask => (ask.verb === 'DATA' ? { cut: true } : undefined))
    await expect(send()).rejects.toThrow()
    expect(sink.ledger).toMatchObject([{ answered: false }])
  })
  it('greylists a recipient until the time has passed', async () => {
    let now = 0
    sink.behave(greylisting(900_000, () => now))
    await expect(send()).rejects.toMatchObject({ responseCode: 450 })
    now = 900_000
    await send()
    expect(sink.ledger).toHaveLength(1)
  })
})

it('counts SMTP steps through a proxy, the end of the message among them', async () => {
  const sink = await aMailSink()
  const proxy = await aTcpProxy(sink.port)
  const steps: string[] = []
  proxy.watch(smtpSteps(label => Boolean(steps.push(label))))
  await createTransport(`smtp://127.0.0.1:${proxy.port}`).sendMail(message)
  expect(steps.slice(0, 5)).toEqual(['EHLO', 'MAIL', 'RCPT', 'DATA', '.'])
  await proxy.close()
  await sink.close()
})

describe('the proxy before the database', () => {
  let database: TestDatabase
  beforeAll(async () => {
    database = await aDatabase()
  })
  afterAll(() => database.drop())
  const through = async () => {
    const url = new URL(database.url)
    const proxy = await aTcpProxy(Number(url.port))
    url.port = String(proxy.port)
    return { proxy, url: url.href }
  }

  it('names every statement, simple, prepared and reused, and can hold one back', async () => {
    const { proxy, url } = await through()
    const steps: string[] = []
    proxy.watch(sqlSteps(label => Boolean(steps.push(label)) && label !== 'select 4'))
    const client = new pg.Client(url)
    client.on('error', () => {})
    await client.connect()
    await client.query('begin')
    await client.query({ name: 'two', text: 'select $1::int', values: [2] })
    await client.query({ name: 'two', text: 'select $1::int', values: [3] })
    void client.query('select 4').catch(() => {})
    await expect.poll(() => steps).toEqual(['begin', 'select $1::int', 'select $1::int', 'select 4'])
    await proxy.close()
  })

  it('goes silent without closing, and speaks again to new connections', async () => {
    const { proxy, url } = await through()
    const client = new pg.Client(url)
    client.on('error', () => {})
    await client.connect()
    proxy.goSilent()
    const outcome = await Promise.race([
      client.query('select 1').then(
        () => 'answered',
        () => 'failed',
      ),
      new Promise(resolve => setTimeout(resolve, 300, 'nothing')),
    ])
    expect(outcome).toBe('nothing')
    proxy.speak()
    const next = new pg.Client(url)
    await next.connect()
    expect((await next.query('select 1 as n')).rows).toEqual([{ n: 1 }])
    await next.end()
    await proxy.close()
  })
})
