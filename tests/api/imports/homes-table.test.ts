import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { sweepReminders } from '../../../src/features/reminders/sweep.ts'
import type { Program } from '../../support/actors.ts'
import { withShippedPolicies } from '../../support/laws-in-database.ts'
import { aPropertyRow } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let app: TestApp
let office: Program

beforeAll(async () => {
  app = await buildTestApp({ at: '2026-11-27T15:00:00Z' })
  await withShippedPolicies(app.db, { actor: { kind: 'operator', id: null }, now: app.clock.now(), requestId: 'test' })
  office = await app.as.app()
})
afterAll(() => app.close())

const HEADER =
  'Owner,Address,City,State,Zip,Phone,Email,Fan,Fan serial,Installed,Start up (in wc),Pre (pCi/L),Post (pCi/L),Post date,Notes'
const SMITH =
  '"Smith, John",12 Foundry Ln,Duluth,MN,55802,218-555-0101,js@home.example,Big fan,A1,spring 2011,1.4,12.3,0.8,4/15/2011,Nice dog'
const OAK = 'Mary Oak,14 Quay Street,Duluth,MN,55802,,,,,2009?,,8.1,,,'
const table = (...rows: readonly string[]) => Buffer.from([HEADER, ...rows, ''].join('\n'))

const send = (who: Program, bytes: Buffer, fields: Record<string, string> = {}) => {
  const sent = who.agent.post('/v1/imports').set('Idempotency-Key', randomUUID()).attach('file', bytes, 'homes.csv')
  for (const [name, value] of Object.entries({ kind: 'homes-table', ...fields })) sent.field(name, value)
  return sent
}
const read = async (id: string) => (await office.get(`/v1/imports/${id}`).expect(200)).body
/** Commits, works what waits, and gives the import as it stands then. */
async function commit(id: string, body: object = {}) {
  await office.post(`/v1/imports/${id}/commit`, body).expect(201)
  await app.runJobs()
  return read(id)
}
const count = async (text: string, values: unknown[] = []): Promise<number> =>
  (await app.db.pool.query(text, values)).rows[0].n
const homesAt = (street: string) =>
  count('select count(*)::int as n from property where street = $1 and voided_at is null', [street])

describe('a table of homes', () => {
  it('is refused from an app without the scope, and from one that sees some homes only', async () => {
    await send(await app.as.app({ scopes: ['tests:read'] }), table(SMITH)).expect(403)
    const { body } = await send(await app.as.app({ homes: [] }), table(SMITH)).expect(403)
    expect(body.type).toMatch(/not-your-role$/)
  })

  it('that is a picture, or has no home in it, is refused or asks for one, and saves nothing', async () => {
    await send(office, Buffer.from('89504e470d0a1a0a', 'hex')).expect(422)
    const { body } = await send(office, Buffer.from('a,b\n1,2\n3,4\n5,6\n')).expect(201)
    expect(body.homes.questions.map((question: { part: string }) => question.part)).toContain('home')
    const refused = await office.post(`/v1/imports/${body.id}/commit`, {}).expect(422)
    expect(refused.body.type).toMatch(/unanswered$/)
  })

  it('is read back column by column, each with examples, with what a commit would do', async () => {
    const { body } = await send(office, table(SMITH, OAK)).expect(201)
    expect(body.homes.columns[0]).toEqual({
      sheet: '',
      index: 0,
      name: 'Owner',
      role: 'owner',
      examples: ['Smith, John', 'Mary Oak'],
    })
    expect(body.homes.dryRun.counts).toMatchObject({ fresh: 2, people: 2, systems: 2, tests: 3, notes: 1, bad: 0 })
    expect(await homesAt('12 Foundry Ln')).toBe(0)
  })

  it('refuses bad rows by line, unless they are to be left out', async () => {
    const { body } = await send(office, table(SMITH, 'No Address,,Duluth,MN,55802,,,,,,,,,,')).expect(201)
    expect(body.homes.dryRun.faults).toMatchObject([{ line: 3, column: 'Address', problem: 'names no home' }])
    const refused = await office.post(`/v1/imports/${body.id}/commit`, {}).expect(422)
    expect(refused.body.errors).toMatchObject([{ pointer: '#/rows/3' }])
    const told = await office
      .patch(`/v1/imports/${body.id}`, { told: { badRows: 'leave-out' } }, body.version)
      .expect(200)
    expect(told.body.homes.reading.badRows).toBe('leave-out')
  })
})

describe('committed', () => {
  it('makes homes, people, systems and tests, and leaves unknown what the table does not know', async () => {
    const upload = (await send(office, table(SMITH, OAK)).expect(201)).body
    const done = await commit(upload.id, { saveReadingAs: 'our book' })
    expect(done).toMatchObject({ state: 'committed', failure: '', summary: { made: 2, same: 0, homes: { tests: 3 } } })
    const { items } = (await office.get('/v1/properties?limit=50').expect(200)).body
    const smith = items.find((home: { street: string }) => home.street === '12 Foundry Ln')
    expect(smith).toMatchObject({ city: 'Duluth', region: 'MN', zone: 'America/Chicago', zoneSource: 'found' })
    const systems = (await office.get(`/v1/systems?propertyId=${smith.id}`).expect(200)).body.items
    expect(systems).toMatchObject([
      {
        type: 'unknown',
        installedBy: 'unknown',
        components: [{ kind: 'fan', model: 'Big fan', serial: 'A1' }],
        events: [{ kind: 'first-start', when: { at: null, approx: '2011-21' } }],
        gaugeReadings: [{ role: 'adopted', value: '1.4', unit: 'in. w.c.' }],
      },
    ])
    const owners = (await office.get(`/v1/properties/${smith.id}/ownership`).expect(200)).body.items
    expect(owners).toMatchObject([
      { name: 'John Smith', phone: '+12185550101', email: 'js@home.example', fromOn: null },
    ])
    const tests = (await office.get(`/v1/tests?propertyId=${smith.id}`).expect(200)).body.items
    expect(
      tests.map((test: { purpose: string; resultInAt: string }) => [test.purpose, test.resultInAt]).sort(),
    ).toEqual([
      ['post-mitigation', '2011-04-15T17:00:00.000Z'],
      ['pre-mitigation', null],
    ])
    const standing = (await office.get(`/v1/properties/${smith.id}/standing`).expect(200)).body
    expect(standing.obligations.map((owed: { kind: string }) => owed.kind)).toContain('retest')
  })

  it('the same file again changes nothing, sent once more or saved anew with its rows turned round', async () => {
    const again = (await send(office, table(SMITH, OAK), { savedReading: 'our book' }).expect(201)).body
    expect(again.alreadyImported.said).toContain('0 new')
    await office.post(`/v1/imports/${again.id}/commit`, {}).expect(409)
    const before = await count('select count(*)::int as n from audit where noun <> $1', ['import'])
    const turned = (await send(office, table(OAK, SMITH)).expect(201)).body
    expect(turned.homes.dryRun.counts).toMatchObject({ fresh: 0, added: 0, same: 2, people: 0, tests: 0, notes: 0 })
    const done = await commit(turned.id)
    expect(done.summary).toMatchObject({ made: 0, same: 2 })
    expect(await count('select count(*)::int as n from audit where noun <> $1', ['import'])).toBe(before)
  })

  it('is held against the record anew once another import has been written, and until then shown as it was seen', async () => {
    const row = 'Una Upton,5 Umber Way,Duluth,MN,55802,,,,U5,2012,,,0.7,2/20/2013,'
    const [first, second] = [
      (await send(office, table(row)).expect(201)).body,
      (await send(office, table(row, '')).expect(201)).body,
    ]
    expect((await read(first.id)).homes).toEqual(first.homes)
    expect(first.homes.dryRun.counts).toMatchObject({ fresh: 1, same: 0 })
    await commit(second.id)
    for (const _ of ['compared', 'as seen'])
      expect((await read(first.id)).homes.dryRun.counts).toMatchObject({ fresh: 0, same: 1 })
    const done = await commit(first.id)
    expect(done.summary).toMatchObject({ made: 0, same: 1 })
  })

  it('adds to a home on record what it does not know, and overwrites nothing', async () => {
    const later = SMITH.replace('"Smith, John"', 'Ann Elder').replace(',0.8,4/15/2011', ',0.9,4/20/2013')
    const upload = (await send(office, table(later)).expect(201)).body
    expect(upload.homes.dryRun.counts).toMatchObject({ fresh: 0, added: 1, people: 0, tests: 1, notes: 1 })
    await commit(upload.id)
    const [note] = (
      await app.db.pool.query(`select text from note where text like '%Ann Elder%' and voided_at is null`)
    ).rows
    expect(note.text).toContain('Owner named: Ann Elder, +12185550101')
  })

  it('is told apart by a person where addresses are only alike', async () => {
    const upload = (
      await send(office, table(SMITH.replace('12 Foundry Ln', '12 Foundy Lane').replace('A1', 'B7'))).expect(201)
    ).body
    const [pair] = upload.homes.dryRun.doubles
    expect(pair).toMatchObject({ otherKind: 'record', otherAddress: '12 Foundry Ln, Duluth', said: null })
    const refused = await office.post(`/v1/imports/${upload.id}/commit`, {}).expect(422)
    expect(refused.body.errors[0].detail).toContain('12 Foundy Lane and 12 Foundry Ln, Duluth may be one home')
    const told = { doubles: { [pair.id]: 'same' } }
    const { body } = await office.patch(`/v1/imports/${upload.id}`, { told }, upload.version).expect(200)
    expect(body.homes.dryRun.counts).toMatchObject({ fresh: 0, added: 1, undecided: 0, systems: 0 })
    const done = await commit(upload.id)
    expect(done.state).toBe('committed')
    expect(await homesAt('12 Foundy Lane')).toBe(0)
  })
})

describe('undone', () => {
  it('takes back exactly what it made, and leaves a home that was worked with, saying why', async () => {
    const rows = ['1 Birch Rd', '2 Birch Rd', '3 Birch Rd'].map((street, i) =>
      SMITH.replace('12 Foundry Ln', street).replace('A1', `S${i}`),
    )
    const done = await commit((await send(office, table(...rows)).expect(201)).body.id)
    const { id: kept } = (await app.db.pool.query(`select id from property where street = '2 Birch Rd'`)).rows[0]
    await office
      .post(`/v1/properties/${kept}/callbacks`, { complaint: 'noise', reportedAt: '2026-11-27T14:00:00Z' })
      .expect(201)
    const undone = await office.agent
      .post(`/v1/imports/${done.id}/undo`)
      .set('If-Match', `"${done.version}"`)
      .expect(200)
    expect(undone.body.summary.left).toEqual([
      { propertyId: kept, address: '2 Birch Rd, Duluth', why: 'a callback belongs to it' },
    ])
    expect([await homesAt('1 Birch Rd'), await homesAt('2 Birch Rd'), await homesAt('3 Birch Rd')]).toEqual([0, 1, 0])
    const stand = await count(
      `select count(*)::int as n from import_made m join test t on t.id = m.noun_id where m.import_id = $1 and t.voided_at is null`,
      [done.id],
    )
    expect(stand).toBe(2)
  })

  it('of a home on record gives it back as it was', async () => {
    const home = await aPropertyRow(app.db.pool, {
      street: '9 Pine Ct',
      city: 'Duluth',
      region: 'MN',
      postcode: '55802',
      country: 'US',
    })
    const done = await commit(
      (await send(office, table(SMITH.replace('12 Foundry Ln', '9 Pine Court'))).expect(201)).body.id,
    )
    expect(done.summary).toMatchObject({ made: 1, homes: { fresh: 0, added: 1 } })
    await office.agent.post(`/v1/imports/${done.id}/undo`).set('If-Match', `"${done.version}"`).expect(200)
    const hanging = await count(
      `select ((select count(*) from system where property_id = $1 and voided_at is null)
        + (select count(*) from test where property_id = $1 and voided_at is null)
        + (select count(*) from ownership where property_id = $1 and voided_at is null))::int as n`,
      [home.id],
    )
    expect(hanging).toBe(0)
    expect(await homesAt('9 Pine Ct')).toBe(1)
  })
})

describe('what the table says of the house itself', () => {
  const houses = 'Owner,Address,City,State,Zip,Year built,Foundation'
  const house = (street: string) =>
    Buffer.from(`${houses}\nFay Lund,${street},Duluth,MN,55802,1962,Basement and crawl\n`)
  const there = { city: 'Duluth', region: 'MN', postcode: '55802', country: 'US' }
  const known = async (id: string) => {
    const { yearBuilt, foundationAreas } = (await office.get(`/v1/properties/${id}`).expect(200)).body
    return { yearBuilt, foundation: foundationAreas.map(({ kind }: { kind: string }) => kind).sort() }
  }
  const undo = ({ id, version }: { id: string; version: number }) =>
    office.agent.post(`/v1/imports/${id}/undo`).set('If-Match', `"${version}"`).expect(200)

  it('is filled in where a home on record does not know it, as the preview says, and taken back when undone', async () => {
    const home = await aPropertyRow(app.db.pool, { ...there, street: '5 Larch Ct', year_built: null })
    const upload = (await send(office, house('5 Larch Court'))).body
    expect(upload.homes.dryRun.counts).toMatchObject({ fresh: 0, added: 1, filled: 1, notes: 0 })
    const done = await commit(upload.id)
    expect(await known(home.id)).toEqual({ yearBuilt: 1962, foundation: ['basement', 'crawl-space'] })
    await undo(done)
    expect(await known(home.id)).toEqual({ yearBuilt: null, foundation: [] })
  })

  it('stays when somebody has put another year in since, and the undoing says so', async () => {
    const home = await aPropertyRow(app.db.pool, { ...there, street: '7 Larch Ct', year_built: null })
    const done = await commit((await send(office, house('7 Larch Court'))).body.id)
    const { version } = (await office.get(`/v1/properties/${home.id}`)).body
    app.clock.set(app.clock.now() + 60_000)
    await office.patch(`/v1/properties/${home.id}`, { yearBuilt: 1963, reason: 'the deed' }, version).expect(200)
    const { body } = await undo(done)
    expect(body.summary.left).toMatchObject([{ propertyId: home.id, why: 'its year was changed' }])
    expect(await known(home.id)).toMatchObject({ yearBuilt: 1963 })
  })
})

describe('its reminders', () => {
  const due = () =>
    app.db.pool.query(`update obligation set next_remind_at = now() - interval '1 year' where owed_by = 'homeowner'`)
  const mails = () => count(`select count(*)::int as n from mail where kind = 'reminder'`)

  it('stay held though reminders had been released before, until somebody has looked and releases them', async () => {
    await app.db.pool.query(
      `update company set reminders_released_at = now() - interval '1 year', zone = 'America/Chicago'`,
    )
    const row = 'Cy Cedar,77 Cedar Way,Duluth,MN,55802,,cedar@home.example,,C9,2012,,,0.7,2/20/2013,'
    const done = await commit((await send(office, table(row)).expect(201)).body.id)
    await due()
    await sweepReminders(app)
    expect(await mails()).toBe(0)

    await office.agent.post(`/v1/imports/${done.id}/release-reminders`).expect(428)
    const release = () =>
      office.agent.post(`/v1/imports/${done.id}/release-reminders`).set('If-Match', `"${done.version}"`)
    await release().expect(200)
    await sweepReminders(app)
    expect((await app.db.pool.query(`select to_address as "to" from mail where kind = 'reminder'`)).rows).toEqual([
      { to: 'cedar@home.example' },
    ])
  })
})
