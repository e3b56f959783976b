import { readFile } from 'node:fs/promises'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Program } from '../support/actors.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'

/**
 * 919 Minnesota homes, one short-term screening result each: US EPA / state residential radon survey of the late 1980s
 * (US government data), as carried by the textbook data set `radon` of r-cran-rstanarm.
 */
const survey = new URL('./minnesota-home-survey.csv', import.meta.url)

/** The survey carries neither dates nor methods: these are supplied here, on the wall clock of America/Chicago. */
const supplied = {
  method: 'activated-charcoal',
  purpose: 'pre-mitigation',
  start: '2026-01-12T09:00',
  stop: '2026-01-15T09:00',
  region: 'MN',
  country: 'US',
  zone: 'America/Chicago',
} as const

let app: TestApp
let program: Program

beforeAll(async () => {
  app = await buildTestApp({ at: '2026-02-02T15:00:00Z' })
  program = await app.as.app()
})
afterAll(() => app.close())

const upload = async (fields: Record<string, string>, key: string) =>
  program.agent
    .post('/v1/imports')
    .set('idempotency-key', key)
    .field({ kind: 'results-table', ...fields })
    .attach('file', await readFile(survey), { filename: 'minnesota-home-survey.csv', contentType: 'text/csv' })

// biome-ignore lint/suspicious/noExplicitAny: whatever the list answers
async function every(path: string): Promise<readonly any[]> {
  const all = []
  for (let next: string | null = ''; next !== null; ) {
    const cursor: string = next && `&cursor=${encodeURIComponent(next)}`
    const { body } = await program.get(path + cursor).expect(200)
    all.push(...body.items)
    next = body.next
  }
  return all
}

describe('the Minnesota home survey, uploaded as a table of results', () => {
  it('is looked at first: 919 good rows, 919 homes to take up, none bad, nothing saved', async () => {
    const { status, body } = await upload(
      { told: JSON.stringify({ unknownHomes: 'take-up', constants: supplied }) },
      'look',
    )
    expect(status).toBe(201)
    expect(body.table).toMatchObject({
      rows: 919,
      questions: [],
      reading: { constants: { unit: 'pCi/L' } },
      dryRun: { fresh: 919, same: 0, bad: 0, homesToTakeUp: 919, faults: [] },
    })
    expect(await every('/v1/properties?limit=200')).toEqual([])

    const done = await program.post(`/v1/imports/${body.id}/commit`)
    expect(done.status, done.text.slice(0, 500)).toBe(201)
    expect(done.body.summary).toMatchObject({ made: 919, same: 0 })
    expect(done.body.summary.homesTakenUp).toHaveLength(919)
  })

  it('gives 919 homes of which 428 compare at or above 4.0 pCi/L in their working and 415 above it', async () => {
    const verdicts = await everyVerdict()
    const lines = verdicts.map(({ working }) => working.lines[0] as { left: string; relation: string; right: string })
    expect(lines).toHaveLength(919)
    expect(new Set(lines.map(line => line.right))).toEqual(new Set(['4.0 pCi/L']))
    expect(count(lines, line => line.relation === '≥')).toBe(428)
    expect(count(lines, line => line.relation === '<')).toBe(919 - 428)
    expect(count(lines, line => line.relation === '≥' && line.left === '4.0 pCi/L')).toBe(428 - 415)
    expect(count(verdicts, verdict => Number(verdict.compared.value) > 4)).toBe(415)
  })

  it('confirms none of them: a first short test at or above the level asks for a second', async () => {
    const outcomes = (await everyVerdict()).map(verdict => `${verdict.working.lines[0].relation} ${verdict.outcome}`)
    expect(new Set(outcomes)).toEqual(new Set(['≥ needs-follow-up', '< below']))
    expect(await every('/v1/properties?limit=200&outcome=needs-follow-up')).toHaveLength(428)
    expect(await every('/v1/properties?limit=200&outcome=below')).toHaveLength(491)
    expect(await every('/v1/properties?limit=200&outcome=at-or-above')).toEqual([])
  })

  it('keeps each result, floor, day and zone as the survey and the reading have them', async () => {
    const [tests, homes] = [await every('/v1/tests?limit=200'), await every('/v1/properties?limit=200')]
    const kept = new Map(tests.map(test => [test.propertyId, test]))
    const rows = homes.map(home => {
      const { exposures, setAt, pickedUpAt } = kept.get(home.id)
      expect([home.zone, setAt, pickedUpAt]).toEqual([
        supplied.zone,
        '2026-01-12T15:00:00.000Z',
        '2026-01-15T15:00:00.000Z',
      ])
      const floor = exposures[0].locationName === 'Basement' ? 'basement' : 'first floor'
      return `${home.street},${home.city},${floor},${exposures[0].result.value}`
    })
    const [, ...lines] = (await readFile(survey, 'utf8')).trim().split('\n')
    expect(rows.sort()).toEqual(lines.sort())
  })

  it('uploaded again is recognised: 919 the same, none new', async () => {
    const { body } = await upload({ told: JSON.stringify({ unknownHomes: 'take-up', constants: supplied }) }, 'again')
    expect(body.table.dryRun).toMatchObject({ fresh: 0, same: 919, bad: 0, homesToTakeUp: 0 })
    await program.post(`/v1/imports/${body.id}/commit`).expect(409)
  })
})

const count = <T>(list: readonly T[], fits: (one: T) => boolean): number => list.filter(fits).length

// biome-ignore lint/suspicious/noExplicitAny: as the API answers it
let verdicts: Promise<readonly any[]> | undefined
/** Each home's verdict from its standing, read by several apps because one may not ask so often in a minute. */
const everyVerdict = () =>
  (verdicts ??= (async () => {
    const homes = await every('/v1/properties?limit=200')
    const read = []
    for (let first = 0; first < homes.length; first += 200) {
      const reader = await app.as.app({ scopes: ['properties:read'] })
      for (const { id } of homes.slice(first, first + 200))
        read.push((await reader.get(`/v1/properties/${id}/standing`).expect(200)).body.verdict)
    }
    return read
  })())
