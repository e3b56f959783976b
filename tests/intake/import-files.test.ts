import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { PLAIN_DIALECT, writeMonitorFile } from '../../seed/monitor-files.ts'
import { commitImport, fileOf, prepareCommit } from '../../src/intake/commit-import.ts'
import { readImport } from '../../src/intake/import-queries.ts'
import { proposalOf } from '../../src/intake/read-import.ts'
import { commitRecordBody } from '../../src/intake/record-schemas.ts'
import { listSavedReadings } from '../../src/intake/saved-readings.ts'
import { commitBody } from '../../src/intake/schemas.ts'
import { type ImportToStart, keepStarted, prepareImport } from '../../src/intake/start-import.ts'
import { undoImport } from '../../src/intake/undo-import.ts'
import { jobs } from '../../src/jobs.ts'
import type { Act } from '../../src/platform/db/record-write.ts'
import { newId } from '../../src/platform/ids.ts'
import { jobsFor } from '../../src/platform/jobs/queue.ts'
import { readStanding } from '../../src/standing/read-standing.ts'
import { anOpenDatabase } from '../support/database.ts'
import { withShippedPolicies } from '../support/laws-in-database.ts'
import { aCompany, aLocationRow, aPropertyRow, type Row } from '../support/rows.ts'
import { hourly } from '../support/test-facts.ts'

let database: Awaited<ReturnType<typeof anOpenDatabase>>
let home: Row
let basement: Row
const zone = 'America/Chicago'
const act: Act = { actor: { kind: 'operator', id: null }, now: Date.UTC(2026, 0, 10), requestId: 'test' }

beforeAll(async () => {
  database = await anOpenDatabase()
  await aCompany(database.db.pool)
  await withShippedPolicies(database.db, act)
  home = await aPropertyRow(database.db.pool, {
    street: '12 Foundry Lane',
    city: 'Duluth',
    region: 'MN',
    postcode: '55802',
    zone,
    jurisdiction: 'US-MN',
  })
  basement = await aLocationRow(database.db.pool, home, { name: 'Basement', floor: -1 })
})
afterAll(() => database.close())

const monitorFile = (tenths: number, over = {}) =>
  Buffer.from(
    writeMonitorFile(
      hourly(48, i => tenths + (i % 3)),
      { ...PLAIN_DIALECT, date: 'day-month-name', clock: { zone }, ...over },
    ),
  )
const upload = (bytes: Buffer, over: Partial<ImportToStart> = {}): ImportToStart => ({
  file: { fileName: 'monitor.csv', type: 'text/csv', bytes },
  kind: 'monitor-record',
  propertyId: home.id,
  ...over,
})
const start = async (input: ImportToStart) => {
  const started = await prepareImport(database.db, act, input)
  return database.db.transaction(tx => keepStarted(tx, act, jobsFor(jobs), started))
}
const commit = async (importId: string, body: object) => {
  const batch = await readImport(database.db, act, importId)
  const prepared = await prepareCommit(database.db, act, await fileOf(database.db, batch), commitBody.parse(body))
  return database.db.transaction(tx => commitImport(tx, act, importId, null, prepared))
}
const target = () => ({
  propertyId: home.id,
  purpose: 'pre-mitigation',
  closedSince: '2025-11-02T08:00:00-06:00',
  closedDuring: 'yes',
  exposure: { locationId: basement.id },
})
const count = async (table: string) =>
  Number((await database.db.pool.query(`select count(*) from ${table}`)).rows[0].count)

describe('a monitor file', () => {
  it('is looked at first, and nothing of the home changes', async () => {
    const before = await count('test')
    const started = await start(upload(monitorFile(20)))
    expect(started).toMatchObject({
      state: 'proposed',
      alreadyImported: null,
      record: { questions: [], readings: 48, intervalS: 3600, faults: [] },
    })
    expect(started.record!.points).toHaveLength(48)
    expect(await count('test')).toBe(before)
  })

  it('commits as a test with its record, findings and the standing of the home', async () => {
    const started = await start(upload(monitorFile(50)))
    const done = await commit(started.id, { target: target(), saveReadingAs: 'the grey monitor' })
    expect(done).toMatchObject({ state: 'committed', summary: { made: 1 }, propertyId: home.id })
    const { rows } = await database.db.pool.query(
      'select s.*, x.location_id from series s join exposure x on x.id = s.exposure_id where x.test_id = $1',
      [done.testId],
    )
    expect(rows).toMatchObject([{ interval_s: 3600, unit: 'pCi/L', scale: 1, location_id: basement.id }])
    expect(rows[0].values).toHaveLength(48)
    const stood = await readStanding(database.db, home.id)
    const test = stood!.standing.tests.find(({ testId }) => testId === done.testId)
    expect(test).toMatchObject({ outcome: 'at-or-above', exposures: [{ result: { unit: 'pCi/L' }, fromSeries: true }] })
    expect((await listSavedReadings(database.db)).map(({ name }) => name)).toEqual(['the grey monitor'])
  })

  it('a second time is recognised, refused, and can be insisted upon', async () => {
    const bytes = monitorFile(60)
    await commit((await start(upload(bytes))).id, { target: target() })
    const again = await start(upload(bytes))
    expect(again.alreadyImported).toMatchObject({
      said: expect.stringMatching(/^Already imported on 2026-01-10.*0 new/),
    })
    const before = await count('test')
    await expect(commit(again.id, { target: target() })).rejects.toMatchObject({
      status: 409,
      code: 'already-imported',
    })
    expect(await count('test')).toBe(before)
    await commit(again.id, { target: target(), again: true })
    expect(await count('test')).toBe(before + 1)
  })

  it('twice at once makes one test', async () => {
    const bytes = monitorFile(61)
    const both = [await start(upload(bytes)), await start(upload(bytes))]
    const before = await count('test')
    const outcomes = await Promise.allSettled(both.map(({ id }) => commit(id, { target: target() })))
    expect(outcomes.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected'])
    expect(await count('test')).toBe(before + 1)
  })

  it('is read and committed in one call with an explicit reading', async () => {
    const bytes = monitorFile(70, { header: 'none', unitIn: 'nowhere' })
    const asking = await start(upload(bytes))
    expect(asking.record!.questions.map(({ part }) => part)).toEqual(['unit'])
    await expect(commit(asking.id, { target: target() })).rejects.toMatchObject({
      status: 422,
      errors: [{ code: 'unanswered' }],
    })
    const reading = { ...asking.record!.reading!, unit: 'pCi/L' as const }
    const done = await start(upload(bytes, { commit: commitRecordBody.parse({ reading, target: target() }) }))
    expect(done).toMatchObject({ state: 'committed', testId: expect.any(String) })
  })

  it('with a fault saves nothing and lists it by line', async () => {
    const bytes = Buffer.from(
      monitorFile(80)
        .toString()
        .replace(/,8\.1\n/, ',oops\n'),
    )
    const before = await count('series')
    const started = await start(upload(bytes))
    expect(started.record!.faults).toMatchObject([{ code: 'number', line: 3 }])
    await expect(commit(started.id, { target: target() })).rejects.toMatchObject({
      status: 422,
      errors: [{ pointer: '/lines/3' }],
    })
    expect(await count('series')).toBe(before)
  })

  it('told a part is proposed anew with it', async () => {
    const started = await start(upload(monitorFile(90)))
    const { proposal } = await proposalOf(database.db, act, await readImport(database.db, act, started.id), {
      stamp: 'start',
    })
    expect(proposal).toMatchObject({
      proposed: { ok: true, reading: { stamp: 'start' }, how: { stamp: { by: 'told' } } },
    })
  })

  it('that is no text is not kept', async () => {
    const before = await count('import_batch')
    await expect(start(upload(Buffer.from('504b0304', 'hex')))).rejects.toMatchObject({
      status: 422,
      code: 'unreadable-file',
      errors: [{ code: 'not-text' }],
    })
    expect(await count('import_batch')).toBe(before)
  })

  it('can be undone: its test is void and the home stands as before', async () => {
    const before = (await readStanding(database.db, home.id))!.standing.tests.length
    const done = await commit((await start(upload(monitorFile(95)))).id, { target: target() })
    expect((await readStanding(database.db, home.id))!.standing.tests).toHaveLength(before + 1)
    const undone = await database.db.transaction(tx => undoImport(tx, act, done.id, done.version))
    expect(undone.state).toBe('undone')
    expect((await readStanding(database.db, home.id))!.standing.tests).toHaveLength(before)
    await expect(database.db.transaction(tx => undoImport(tx, act, done.id, undone.version))).rejects.toMatchObject({
      status: 409,
    })
  })

  it('is not there for someone else', async () => {
    const started = await start(upload(monitorFile(96)))
    const stranger: Act = { ...act, actor: { kind: 'app', id: newId(), name: 'other', scopes: [], allHomes: false } }
    await expect(readImport(database.db, stranger, started.id)).rejects.toMatchObject({ status: 404 })
  })
})

const TABLE = `Address,City,State,ZIP,Room,Floor,Method,Purpose,Start date,Start time,End date,End time,Result (pCi/L)
12 Foundry Lane,Duluth,MN,55802,Den,basement,charcoal,retest,10/14/2025,5:30 PM,10/16/2025,6:00 PM,3.9
12 foundry lane,duluth,MN,55802,Hall,first floor,charcoal,retest,10/14/2025,5:30 PM,10/16/2025,6:00 PM,1.2
8 Quay Street,Duluth,MN,55802,Den,basement,charcoal,initial,10/15/2025,9:00 AM,10/17/2025,9:00 AM,4.0
`
const table = (text: string, over: Partial<ImportToStart> = {}): ImportToStart => ({
  ...upload(Buffer.from(text), { kind: 'results-table', ...over }),
  propertyId: undefined,
})

describe('a table of results', () => {
  it('says in a dry run what is new, what is bad and why, by line', async () => {
    const started = await start(table(TABLE))
    expect(started.table!.dryRun).toMatchObject({
      fresh: 2,
      same: 0,
      bad: 1,
      faults: [{ line: 4, value: '8 Quay Street, Duluth', problem: 'is no home on record' }],
    })
    const before = await count('test')
    await expect(commit(started.id, {})).rejects.toMatchObject({ status: 422, code: 'bad-rows' })
    expect(await count('test')).toBe(before)
  })

  it('takes up unknown homes where that was told, adds locations, and can be undone whole', async () => {
    const homes = await count('property where voided_at is null')
    const started = await start(table(TABLE, { told: { unknownHomes: 'take-up' } }))
    expect(started.table!.dryRun).toMatchObject({ fresh: 3, bad: 0, homesToTakeUp: 1 })
    const done = await commit(started.id, {})
    expect(done.summary).toMatchObject({ made: 3, same: 0 })
    const [quay] = done.summary!.homesTakenUp
    const { rows } = await database.db.pool.query('select zone, jurisdiction from property where id = $1', [quay])
    expect(rows).toEqual([{ zone, jurisdiction: 'US-MN' }])
    const stood = (await readStanding(database.db, quay!))!.standing
    expect(stood.tests).toMatchObject([{ outcome: 'at-or-above', startAt: Date.parse('2025-10-15T09:00:00-05:00') }])
    await database.db.transaction(tx => undoImport(tx, act, done.id, done.version))
    expect(await count('property where voided_at is null')).toBe(homes)
    expect(await count(`test where import_batch_id = '${done.id}' and voided_at is null`)).toBe(0)
  })

  it('that overlaps what is there makes only what is new, also twice at once', async () => {
    const told = { unknownHomes: 'take-up' } as const
    const larger = `${TABLE}9 Elm Street,Duluth,MN,55802,Den,basement,charcoal,initial,10/15/2025,9:00 AM,10/17/2025,9:00 AM,2.0\n`
    const both = [await start(table(TABLE, { told })), await start(table(larger, { told }))]
    const done = await Promise.all(both.map(({ id }) => commit(id, {})))
    expect(done.map(({ summary }) => summary!.made).reduce((a, b) => a + b)).toBe(4)
    expect(done.map(({ summary }) => summary!.same).sort()).toEqual([0, 3])
  })
})
