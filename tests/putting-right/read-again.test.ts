import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { PLAIN_DIALECT, writeMonitorFile } from '../../seed/monitor-files.ts'
import type { Act } from '../../src/platform/db/record-write.ts'
import type { ReadAgainIn } from '../../src/putting-right/kinds/read-again-body.ts'
import { foreseen, putRight, undo } from '../../src/putting-right/put-right.ts'
import { toldWords } from '../../src/putting-right/told-words.ts'
import { restandHomes } from '../../src/standing/restand.ts'
import type { Program } from '../support/actors.ts'
import { aLocationRow, aPropertyRow, type Row } from '../support/rows.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { HOUR, hourly } from '../support/test-facts.ts'

let t: TestApp
let app: Program
let act: Act
beforeAll(async () => {
  t = await buildTestApp({ at: '2026-02-10T12:00:00Z' })
  app = await t.as.app()
  act = { actor: { kind: 'operator', id: null }, now: t.clock.now(), requestId: 'rig' }
})
afterAll(() => t.close())

const zone = 'America/Chicago'
const upload = (kind: string, name: string, bytes: Buffer, fields: Record<string, string> = {}) =>
  app.agent
    .post('/v1/imports')
    .set('Idempotency-Key', randomUUID())
    .attach('file', bytes, name)
    .field({ kind, ...fields })

const homes = async () =>
  (await t.db.pool.query<{ id: string; body: string }>('select property_id as id, body from standing order by 1')).rows
const testsOf = async (importId: string) =>
  (
    await t.db.pool.query<{ id: string; propertyId: string }>(
      'select id, property_id as "propertyId" from test where import_batch_id = $1 order by import_line',
      [importId],
    )
  ).rows
const cellsOf = (row: string): string[] =>
  [...row.matchAll(/<t[hd][^>]*>(.*?)<\/t[hd]>/gs)].map(([, cell]) => cell!.replaceAll(/<[^>]+>/g, '').trim())
const test = async (id: string) => (await app.get(`/v1/tests/${id}`).expect(200)).body

const asking = (id: string, told: ReadAgainIn['told']): ReadAgainIn => ({
  ...{ kind: 'read-again', id, told, reason: 'the laboratory writes Bq/m³' },
})
const readAgain = (asked: ReadAgainIn) => t.db.transaction(tx => putRight(tx, act, asked))
const undone = (id: string) => t.db.transaction(tx => undo(tx, act, id, 'it was right as it was'))

/** Every standing reckoned from facts alone is the one that is kept. */
async function keptIsRecomputed() {
  const kept = await homes()
  await t.db.pool.query('delete from test_evaluation')
  await t.db.transaction(tx =>
    restandHomes(
      tx,
      act,
      kept.map(({ id }) => id),
    ),
  )
  expect(await homes()).toEqual(kept)
}

let tables = 0
/** A table of so many homes, each with one result, saved in pCi/L. */
async function aSavedTable(count: number, column = '') {
  const street = `${++tables}00 Read`
  const rows = Array.from({ length: count }, (_, i) => {
    const [day, result] = [String((i % 9) + 1).padStart(2, '0'), 40 + i]
    return `${i + 1} ${street},Duluth,MN,55802,Basement,-1,charcoal,retest,10/${day}/2025 17:30,10/${String((i % 9) + 3).padStart(2, '0')}/2025 18:00,${result}${column && ',pCi/L'}`
  })
  const header = `Address,City,State,ZIP,Room,Floor,Method,Purpose,Start,Stop,Radon result${column && `,${column}`}`
  const told = { unknownHomes: 'take-up', dateOrder: 'mdy', constants: { unit: 'pCi/L', source: 'laboratory' } }
  const bytes = Buffer.from([header, ...rows].join('\n'))
  const { body } = await upload('results-table', 'lab.csv', bytes, { told: JSON.stringify(told) }).expect(201)
  const done = (await app.post(`/v1/imports/${body.id}/commit`, {}).expect(201)).body
  expect(done.summary.made).toBe(count)
  return { id: done.id as string, tests: await testsOf(done.id) }
}

describe('a table of results in the wrong unit', () => {
  it('is foreseen as it is done: forty results in Bq/m³ that were read as pCi/L, and back', async () => {
    const { id, tests } = await aSavedTable(40)
    const before = await homes()
    const asked = asking(id, { unit: 'Bq/m3' })
    const shown = await foreseen(t.db, act, asked)
    expect(await homes()).toEqual(before)

    const { correction, tag } = await readAgain({ ...asked, tag: shown.tag })
    expect(tag).toBe(shown.tag)
    expect(correction.standings).toEqual(shown.correction.standings)
    expect(correction.standings.map(home => [home.before.verdict.outcome, home.after.verdict.outcome])).toEqual(
      Array.from({ length: 40 }, () => ['needs-follow-up', 'below']),
    )
    // 40 pCi/L are 1,480 Bq/m³; 40 Bq/m³ are 1.1 pCi/L (1 pCi/L = 37 Bq/m³).
    expect(toldWords(correction.told[0]!)).toMatch(
      /^Line 2, 1 \d+00 Read, Duluth, Basement: 40 pCi\/L \(1480 Bq\/m³\) → 40 Bq\/m³ \(1\.1 pCi\/L\); .*48 h 30 min, as before$/,
    )
    const first = await test(tests[0]!.id)
    expect(first).toMatchObject({ purpose: 'retest', exposures: [{ locationName: 'Basement' }] })
    expect(first.exposures[0].result).toMatchObject({ value: '40', unit: 'Bq/m3' })
    expect(first.exposures).toHaveLength(1)
    await keptIsRecomputed()

    await undone(correction.id)
    expect(await homes()).toEqual(before)
    expect((await test(tests[0]!.id)).exposures[0].result).toMatchObject({ value: '40', unit: 'pCi/L' })
    await keptIsRecomputed()
  })

  it('read again twice is undone in turn: the first only after the second', async () => {
    const { id, tests } = await aSavedTable(1)
    const first = await readAgain(asking(id, { unit: 'Bq/m3' }))
    await expect(readAgain(asking(id, { unit: 'Bq/m3' }))).rejects.toMatchObject({ code: 'reads-the-same' })
    const second = await readAgain(asking(id, { unit: 'pCi/L' }))
    await expect(undone(first.correction.id)).rejects.toMatchObject({ status: 409, code: 'hangs-on-it' })
    await undone(second.correction.id)
    await undone(first.correction.id)
    expect((await test(tests[0]!.id)).exposures[0].result).toMatchObject({ unit: 'pCi/L' })
  })

  it('of two at once one is done, and the other is told that it would change nothing', async () => {
    const { id, tests } = await aSavedTable(2)
    const both = await Promise.allSettled([1, 2].map(() => readAgain(asking(id, { unit: 'Bq/m3' }))))
    const [refused] = both.flatMap(one => (one.status === 'rejected' ? [one.reason as { status: number }] : []))
    expect(both.filter(({ status }) => status === 'fulfilled')).toHaveLength(1)
    expect([409, 412, 422]).toContain(refused!.status)
    expect((await test(tests[0]!.id)).exposures).toHaveLength(1)
  })

  it('leaves a result that somebody put in since, and says so', async () => {
    const { id, tests } = await aSavedTable(2)
    const [mine] = tests
    const { version, exposures } = await test(mine!.id)
    const replaced = { exposureId: exposures[0].id, result: { value: '3.1', unit: 'pCi/L' } }
    await app.agent
      .post(`/v1/tests/${mine!.id}/results`)
      .set('If-Match', `"${version}"`)
      .send({ resultInAt: '2026-02-01T12:00:00Z', reason: 'a second letter', results: [replaced] })
      .expect(200)
    const { correction } = await readAgain(asking(id, { unit: 'Bq/m3' }))
    expect(correction.propertyIds).toEqual([tests[1]!.propertyId])
    expect(toldWords(correction.told[0]!)).toMatch(/^Line 2, .*: a result put in by hand since stays\.$/)
    expect((await test(mine!.id)).exposures[0].result).toMatchObject({ value: '3.1', unit: 'pCi/L' })
  })

  it('and a move of its test to another home are undone in turn, whichever came first', async () => {
    const { id, tests } = await aSavedTable(1)
    const right = await aPropertyRow(t.db.pool, { zone, jurisdiction: 'US-MN' })
    const moved = () => {
      const asked = { kind: 'move', noun: 'test', id: tests[0]!.id, intoId: right.id, reason: 'wrong door' } as const
      return t.db.transaction(tx => putRight(tx, act, asked))
    }
    const refused = (detail: string) => ({ code: 'hangs-on-it', errors: [expect.objectContaining({ detail })] })

    const read = (await readAgain(asking(id, { unit: 'Bq/m3' }))).correction.id
    const move = (await moved()).correction.id
    await expect(undone(read)).rejects.toMatchObject(
      refused('The test was moved to another home since: undo that first.'),
    )
    const there = await readAgain(asking(id, { unit: 'pCi/L' }))
    expect(there.correction.propertyIds).toEqual([right.id])
    await expect(undone(move)).rejects.toMatchObject(
      refused('The file of the measurement was read again since: undo that first.'),
    )
    for (const correction of [there.correction.id, move, read]) await undone(correction)
    expect(await test(tests[0]!.id)).toMatchObject({
      propertyId: tests[0]!.propertyId,
      exposures: [{ locationName: 'Basement', result: { value: '40', unit: 'pCi/L' } }],
    })
  })

  it('does not heed a column that names another unit than the one told', async () => {
    const { id, tests } = await aSavedTable(1, 'Unit')
    await readAgain(asking(id, { unit: 'Bq/m3' }))
    expect((await test(tests[0]!.id)).exposures[0].result).toMatchObject({ value: '40', unit: 'Bq/m3' })
  })

  it('a result accepted before is to be looked at again, and undone it is accepted as it was', async () => {
    const { id, tests } = await aSavedTable(1)
    const office = await t.as.office()
    const { version } = await test(tests[0]!.id)
    await office.submit(`/tests/${tests[0]!.id}/acceptance`, { version }).expect(303)
    const accepted = (await test(tests[0]!.id)).acceptedAt
    expect(accepted).not.toBeNull()
    const { correction } = await readAgain(asking(id, { unit: 'Bq/m3' }))
    expect((await test(tests[0]!.id)).acceptedAt).toBeNull()
    await undone(correction.id)
    expect((await test(tests[0]!.id)).acceptedAt).toBe(accepted)
  })
})

describe('a table of results whose dates were read in the wrong order', () => {
  it('moves the tests with their results', async () => {
    const { id, tests } = await aSavedTable(1)
    expect(await test(tests[0]!.id)).toMatchObject({ setAt: '2025-10-01T22:30:00.000Z' })
    const { correction } = await readAgain(asking(id, { dateOrder: 'dmy' }))
    expect(await test(tests[0]!.id)).toMatchObject({
      setAt: '2025-01-10T23:30:00.000Z',
      pickedUpAt: '2025-03-10T23:00:00.000Z',
      exposures: [{ startAt: '2025-01-10T23:30:00.000Z' }],
    })
    await undone(correction.id)
    expect(await test(tests[0]!.id)).toMatchObject({ setAt: '2025-10-01T22:30:00.000Z' })
  })

  it('is refused with every line that has no such day', async () => {
    const row = (day: number) =>
      `${day} Elm,Duluth,MN,charcoal,retest,10/${day}/2025 17:30,10/${day + 2}/2025 18:00,3.9`
    const bytes = Buffer.from(
      ['Address,City,State,Method,Purpose,Start,Stop,Radon (pCi/L)', row(11), row(14), row(20)].join('\n'),
    )
    const told = JSON.stringify({ unknownHomes: 'take-up' })
    const { body } = await upload('results-table', 'us.csv', bytes, { told }).expect(201)
    await app.post(`/v1/imports/${body.id}/commit`, {}).expect(201)
    await expect(readAgain(asking(body.id, { dateOrder: 'dmy' }))).rejects.toMatchObject({
      code: 'bad-rows',
      errors: expect.arrayContaining([expect.objectContaining({ pointer: '/rows/3' })]),
    })
  })
})

describe('a monitor’s record', () => {
  let home: Row
  let basement: Row
  // Clocks went forward on 9 March 2025 at 2: summer time is UTC−5, winter time UTC−6.
  const start = Date.UTC(2025, 2, 8, 20)
  const winter = { kind: 'fixed', offsetMinutes: -360 } as const
  const bytesOf = (tenths: number, clock: { zone: string } | { offsetMinutes: number }) =>
    Buffer.from(writeMonitorFile({ ...hourly(60, i => tenths + (i % 3)), startAt: start }, { ...PLAIN_DIALECT, clock }))
  const saved = async (bytes: Buffer, told: object, target?: object) => {
    const fields = { propertyId: home.id, told: JSON.stringify(told) }
    const { body } = await upload('monitor-record', 'monitor.csv', bytes, fields).expect(201)
    const place = { propertyId: home.id, purpose: 'pre-mitigation', exposure: { locationId: basement.id } }
    return (await app.post(`/v1/imports/${body.id}/commit`, { target: target ?? place }).expect(201)).body
  }
  const inWinterTime = (tenths: number, target?: object) =>
    saved(bytesOf(tenths, { offsetMinutes: -360 }), { clock: winter }, target)
  beforeAll(async () => {
    home = await aPropertyRow(t.db.pool, { zone, jurisdiction: 'US-MN' })
    basement = await aLocationRow(t.db.pool, home, { name: 'Basement', floor: -1 })
  })

  it('an hour off since the clocks went forward is read on the clock of its zone, and back', async () => {
    const { id, testId } = await saved(bytesOf(41, { zone }), { clock: winter })
    const before = await homes()
    const was = await test(testId)
    expect(was.exposures[0]).toMatchObject({
      stopAt: new Date(start + 61 * HOUR).toISOString(),
      record: { readings: 61 },
    })

    const asked = asking(id, { clock: { kind: 'zone', zone } })
    const shown = await foreseen(t.db, act, asked)
    const { correction, tag } = await readAgain(asked)
    expect(tag).toBe(shown.tag)
    expect((await test(testId)).exposures[0]).toMatchObject({
      startAt: new Date(start).toISOString(),
      stopAt: new Date(start + 60 * HOUR).toISOString(),
      locationId: basement.id,
      record: { readings: 60 },
    })
    expect(toldWords(correction.told[0]!)).toMatch(
      /Basement, mean of all readings: 4\.20 pCi\/L \(155 Bq\/m³\), as before; Sat 8 March 2025, 14:00 CST to .*, 61 h → .*, 60 h$/,
    )
    await keptIsRecomputed()

    await undone(correction.id)
    expect((await test(testId)).exposures).toEqual(was.exposures)
    expect(await homes()).toEqual(before)
  })

  it('is refused on a clock that skips one of its hours, with the line', async () => {
    const { id } = await inWinterTime(45)
    await expect(readAgain(asking(id, { clock: { kind: 'zone', zone } }))).rejects.toMatchObject({
      code: 'unreadable-file',
      errors: [expect.objectContaining({ code: 'no-such-time', pointer: '/lines/13' })],
    })
  })

  it('that was the result of a test set before is read again too, which the undoing of an import can not do', async () => {
    const set = (
      await app
        .post(`/v1/properties/${home.id}/tests`, {
          purpose: 'retest',
          method: 'continuous-monitor',
          setAt: new Date(start).toISOString(),
          exposures: [{ locationId: basement.id, heightCm: 90 }],
        })
        .expect(201)
    ).body.test
    const { id } = await inWinterTime(61, { testId: set.id, exposureId: set.exposures[0].id, version: 1 })
    const { correction } = await readAgain(asking(id, { unit: 'Bq/m3' }))
    const now = await test(set.id)
    expect(now.exposures).toMatchObject([{ heightCm: 90, record: { unit: 'Bq/m3' } }])
    expect(now.setAt).toBe(new Date(start).toISOString())
    await undone(correction.id)
    expect((await test(set.id)).exposures).toMatchObject([{ id: set.exposures[0].id, record: { unit: 'pCi/L' } }])
  })

  it('is not undone once another result took its place', async () => {
    const { id, testId } = await inWinterTime(71)
    const { correction } = await readAgain(asking(id, { unit: 'Bq/m3' }))
    const { version, exposures } = await test(testId)
    await app.agent
      .post(`/v1/tests/${testId}/results`)
      .set('If-Match', `"${version}"`)
      .send({
        resultInAt: '2026-02-01T12:00:00Z',
        reason: 'read off the display',
        results: [{ exposureId: exposures[0].id, result: { value: '7.2', unit: 'pCi/L' } }],
      })
      .expect(200)
    await expect(undone(correction.id)).rejects.toMatchObject({
      code: 'hangs-on-it',
      errors: [expect.objectContaining({ detail: 'A result that it put in was replaced since.' })],
    })
  })
})

describe('what is not read again', () => {
  it('a file that would say the same, one that was never saved, and one whose results were voided', async () => {
    const { id } = await aSavedTable(1)
    await expect(readAgain(asking(id, { unit: 'pCi/L' }))).rejects.toMatchObject({ code: 'reads-the-same' })
    await expect(readAgain(asking(id, { clock: { kind: 'stated' } }))).rejects.toMatchObject({ code: 'wrong-kind' })
    const bytes = Buffer.from('Address,City,Method,Purpose,Radon (pCi/L)\n1 Elm,Duluth,charcoal,retest,3.9\n')
    const waiting = (await upload('results-table', 'w.csv', bytes).expect(201)).body
    await expect(readAgain(asking(waiting.id, { unit: 'Bq/m3' }))).rejects.toMatchObject({ code: 'import-proposed' })
    const { version } = (await app.get(`/v1/imports/${id}`).expect(200)).body
    await app.agent.post(`/v1/imports/${id}/undo`).set('If-Match', `"${version}"`).expect(200)
    await expect(readAgain(asking(id, { unit: 'Bq/m3' }))).rejects.toMatchObject({ code: 'import-undone' })
    await expect(readAgain(asking(randomUUID(), { unit: 'Bq/m3' }))).rejects.toMatchObject({ status: 404 })
  })
})

describe('who may have a file read again', () => {
  it('an app with the scope for it, whose homes they are; the preview changes nothing', async () => {
    const { id, tests } = await aSavedTable(1)
    const body = { kind: 'read-again', id, told: { unit: 'Bq/m3' }, reason: 'the laboratory writes Bq/m³' }
    const reader = await t.as.app({ scopes: ['imports:write', 'tests:read'] })
    await reader.post('/v1/corrections', body).expect(403)
    const stranger = await t.as.app({ homes: [] })
    await stranger.post('/v1/corrections', body).expect(404)

    const shown = (await app.post('/v1/corrections', { ...body, dryRun: true }).expect(200)).body
    expect(shown).toMatchObject({ kind: 'read-again', noun: 'import', nounId: id, homes: [{ changed: true }] })
    expect((await test(tests[0]!.id)).exposures[0].result.unit).toBe('pCi/L')
    await app.post('/v1/corrections', { ...body, told: {} }).expect(422)
    await app.post('/v1/corrections', { ...body, tag: 'another' }).expect(409)
    const made = (await app.post('/v1/corrections', { ...body, tag: shown.tag }).expect(201)).body
    expect(made.homes).toEqual(shown.homes)
    expect((await test(tests[0]!.id)).exposures[0].result.unit).toBe('Bq/m3')
  })

  it('the office, from the page of the import; the crew is not shown the way and not let in', async () => {
    const { id, tests } = await aSavedTable(1)
    const [office, crew] = [await t.as.office(), await t.as.crew()]
    const url = `/imports/${id}/read-again`
    expect((await office.get(`/imports/${id}`).expect(200)).text).toContain(`href="${url}"`)
    await crew.get(url).expect(403)
    await crew.submit(url, { unit: '"Bq/m3"', reason: 'r' }).expect(403)
    expect((await office.submit(url, { unit: '"pCi/L"', reason: '' }).expect(422)).text).toContain('Say why')

    const shown = await office.submit(url, { unit: '"Bq/m3"', reason: 'the laboratory writes Bq/m³' }).expect(200)
    const row = shown.text.split('<tr>').find(one => one.includes(`href="/tests/${tests[0]!.id}"`))!
    expect(row).toContain(`href="/homes/${tests[0]!.propertyId}"`)
    expect(cellsOf(row)).toEqual([
      expect.stringMatching(/ Read, Duluth$/),
      expect.stringMatching(/^Line 2, Basement.*48 h 30 min$/),
      '40 pCi/L (1480 Bq/m³)',
      '40 Bq/m³ (1.1 pCi/L)',
    ])
    const tag = /name="tag" value="([^"]+)"/.exec(shown.text)![1]
    const done = await office.submit(url, { unit: '"Bq/m3"', reason: 'the laboratory writes Bq/m³', tag }).expect(303)
    expect(done.headers.location).toMatch(/^\/corrections\//)
    const page = (await office.get(`/tests/${tests[0]!.id}`).expect(200)).text
    expect(page).toContain('<del>Basement: 40 pCi/L</del>')
    expect(page).toContain(`href="${done.headers.location}"`)
  })

  it('a table of homes is not read again, and its page says what to do instead', async () => {
    const bytes = Buffer.from('Address,City,State,ZIP,Owner\n7 Old Road,Duluth,MN,55802,Ada Lund\n')
    const book = (await upload('homes-table', 'book.csv', bytes).expect(201)).body
    await t.db.pool.query("update import_batch set state = 'committed', committed_at = now() where id = $1", [book.id])
    await expect(readAgain(asking(book.id, { unit: 'Bq/m3' }))).rejects.toMatchObject({ code: 'not-read-again' })
    const office = await t.as.office()
    expect((await office.get(`/imports/${book.id}/read-again`).expect(200)).text).toContain('undo the import')
  })
})
