import { afterAll, beforeAll, expect, it } from 'vitest'
import type { Person, Program } from '../support/actors.ts'
import { changedTables, databaseDigest } from '../support/reconcile.ts'
import { aStaffMember } from '../support/rows.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aVisitor } from '../support/visitor.ts'
import { aWholeHome, day1, type Home } from '../support/world.ts'

let t: TestApp
let program: Program
let office: Person
let home: Home
let address: string
beforeAll(async () => {
  t = await buildTestApp()
  program = await t.as.app()
  office = await t.as.office()
  address = String((await aStaffMember(t.db.pool)).email)
  home = await aWholeHome(program, 'Rowan')
})
afterAll(() => t.close())

/** Takes something away from the service while it runs, as a broken migration or a wrong grant would. */
async function without<T>(what: { gone: string; back: string }, work: () => Promise<T>): Promise<T> {
  await t.db.pool.query(what.gone)
  try {
    return await work()
  } finally {
    await t.db.pool.query(what.back)
  }
}
const table = (name: string) => ({
  gone: `alter table "${name}" rename to out_of_reach`,
  back: `alter table out_of_reach rename to "${name}"`,
})
const queue = {
  gone: 'alter schema graphile_worker rename to out_of_reach',
  back: 'alter schema out_of_reach rename to graphile_worker',
}

type Answer = { readonly status: number; readonly text: string; readonly headers: Record<string, unknown> }
const aTest = (key: string) =>
  program.post(
    `/v1/properties/${home.property}/tests`,
    {
      purpose: 'retest',
      method: 'activated-charcoal',
      setAt: day1,
      exposures: [{ locationId: home.location, startAt: day1 }],
    },
    key,
  )
const page = (path: string) => office.get(path)
const asToken = () =>
  t.as.anonymous.post('/oauth/token').auth(program.clientId, program.secret).type('form').send({
    grant_type: 'client_credentials',
  })

const rows: readonly [string, { gone: string; back: string }, () => PromiseLike<Answer>][] = [
  ['the rules of a test that is recorded', table('policy'), () => aTest('key-without-policies')],
  ['the session of a page', table('staff_session'), () => page('/homes')],
  ['the session of a form', table('staff_session'), () => office.submit('/people/new', { name: 'Nobody' })],
  ['the keys of an app that asks for a token', table('app_secret'), asToken],
  ['the queue of a mail', queue, () => office.submit('/forgotten', { email: address })],
  ['the audit log of a look', table('audit'), () => program.get(`/v1/customers/${home.customer}`)],
  ['the keys that make a request safe to repeat', table('idempotency'), () => aTest('key-without-keys')],
]

it.each(rows)(
  'S43: without %s a request is refused in general words, logs one line and writes nothing',
  async (_, what, ask) => {
    const before = await databaseDigest(t.db.pool)
    const from = t.logged.lines.length
    const answer = await without(what, async () => ask())
    expect(answer.status).toBe(500)
    const requestId = String(answer.headers['x-request-id'])
    expect(answer.text).toContain(requestId)
    expect(answer.text).not.toMatch(/relation|out_of_reach|select|42P01|3F000|\.ts/)
    for (const name of ['Rowan', String(home.property)]) expect(answer.text).not.toContain(name)
    const errors = t.logged.lines.slice(from).filter(line => line.level >= 40)
    expect(errors).toMatchObject([{ requestId, msg: 'request failed' }])
    expect(changedTables(before, await databaseDigest(t.db.pool))).toEqual([])
  },
)

it('S43: without the store of apps a token that was good opens nothing, and opens again when it is back', async () => {
  const stranger = await t.as.app()
  const look = () => stranger.get(`/v1/customers/${home.customer}`)
  const refused = await without(table('app'), async () => look())
  expect(refused.status).toBe(500)
  expect((await look()).status).toBe(200)
})

it('S43: what failed for want of a part is done once the same request comes again', async () => {
  expect((await aTest('key-without-policies')).status).toBe(201)
  expect((await aTest('key-without-keys')).status).toBe(201)
})

it('S43: without the count of failed sign-ins nobody signs in, rather than everybody unlimited', async () => {
  const visitor = aVisitor(t.app)
  await visitor.get('/sign-in')
  const answer = await without(table('sign_in_failure'), () =>
    visitor.send('/sign-in', { email: 'nobody@clearwell.example', password: 'lantern gravel oboe' }),
  )
  expect(answer.status).toBe(500)
})
