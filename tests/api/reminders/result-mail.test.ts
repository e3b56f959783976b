import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Person, Program } from '../../support/actors.ts'
import { aPropertyRow } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'
import { aWholeHome, day1, day3, type Home } from '../../support/world.ts'

let app: TestApp
let program: Program
let office: Person
let home: Home

beforeAll(async () => {
  app = await buildTestApp()
  program = await app.as.app()
  office = await app.as.office()
  home = await aWholeHome(program, 'Alder')
})
afterAll(() => app.close())

const tellAtOnce = (wanted: boolean) => app.db.pool.query('update company set result_mail_on_acceptance = $1', [wanted])

async function aResult(property: string, locationId: string | null, value: string) {
  const { body } = await program
    .post(`/v1/properties/${property}/tests`, {
      purpose: 'follow-up',
      method: 'activated-charcoal',
      setAt: day1,
      pickedUpAt: day3,
      closedSince: '2026-02-01T15:00:00Z',
      closedDuring: 'yes',
      resultInAt: '2026-02-10T12:00:00Z',
      exposures: [{ locationId, startAt: day1, stopAt: day3, result: { value, unit: 'pCi/L' } }],
    })
    .expect(201)
  return body.test as { id: string; version: number }
}
const accepted = async (result: { id: string; version: number }) => {
  const answer = await office.submit(`/tests/${result.id}/acceptance`, { version: result.version })
  expect(answer.status).toBe(303)
}
const text = (raw: string) => raw.replaceAll('=\r\n', '').replaceAll('=E2=80=99', '’').replaceAll('=C2=B3', '³')

describe('the result of a test', () => {
  test('is not mailed by itself where the company has not asked for that', async () => {
    await tellAtOnce(false)
    await accepted(await aResult(home.property, home.location, '3.1'))
    await app.runJobs()
    expect(app.mailbox.ledger).toEqual([])
  })

  test('reaches the owner as soon as it is accepted, once, with room, figure, whom to phone and a page that opens', async () => {
    await tellAtOnce(true)
    await app.db.pool.query(
      `update test set accepted_at = accepted_at - interval '2 days' where accepted_at is not null`,
    )
    const result = await aResult(home.property, home.location, '4.0')
    await app.runJobs()
    expect(app.mailbox.ledger).toEqual([])
    await accepted(result)
    await app.runJobs()
    await app.runJobs()
    const [line, ...more] = app.mailbox.ledger
    expect(more).toEqual([])
    expect(line).toMatchObject({ to: ['alder@home.example'] })
    const raw = text(line!.raw)
    expect(raw).toContain('Radon result: 1 Alder Street')
    expect(raw).toContain('Alder family room: 4.0 pCi/L')
    // As it is dialled in the company's own country; it is kept as +12185550100.
    expect(raw).toContain('Whom to ask: Clearwell Mitigation, (218) 555-0100')
    const [address] = /http:\/\/127\.0\.0\.1:\d+\/h\/[\w-]+\.[\w-]+(?![\w/-])/.exec(raw)!
    const opened = await fetch(address!, { redirect: 'manual' })
    expect(opened.status).toBe(303)
  })

  test('goes to nobody where no owner is on record, and says so when the office asks for it', async () => {
    app.mailbox.clear()
    const ownerless = await aPropertyRow(app.db.pool)
    const result = await aResult(ownerless.id, null, '2.0')
    await accepted(result)
    await app.runJobs()
    expect(app.mailbox.ledger).toEqual([])
    const asked = await office.submit(`/tests/${result.id}/mail-result`)
    expect(asked.status).toBe(409)
    expect(asked.text).toContain('No owner of the home is on record.')
  })

  test('is not sent again to somebody whose time to see it has ended since', async () => {
    app.mailbox.clear()
    await tellAtOnce(false)
    const result = await aResult(home.property, home.location, '3.4')
    await accepted(result)
    const buyer = { subject: 'test', subjectId: result.id, customerId: home.buyer, part: 'may-see' }
    const party = await program.post(`/v1/properties/${home.property}/work-parties`, buyer)
    await program
      .patch(`/v1/customers/${home.buyer}`, { email: 'buyer@home.example', reason: 'told us' }, 1)
      .expect(200)
    const mailed = await office.submit(`/tests/${result.id}/mail-result`, { to: home.buyer })
    expect(mailed.status, mailed.text).toBe(303)
    const mail = String(mailed.headers.location)
    const refused = () => app.db.pool.query(`update mail set state = 'refused' where '/outbox/' || id = $1`, [mail])
    await refused()
    expect((await office.submit(`${mail}/resend`)).status).toBe(303)
    await refused()
    await app.db.pool.query(`update work_party set last_on = '2026-01-31' where id = $1`, [party.body.id])
    const again = await office.submit(`${mail}/resend`)
    expect(again.status).toBe(409)
    expect(again.text).toContain('may not see this result')
    await office.submit('/outbox/failed/resend')
    await app.runJobs()
    expect(app.mailbox.ledger).toEqual([])
  })
})
