import { afterAll, beforeAll, expect, it } from 'vitest'
import type { Program } from '../../support/actors.ts'
import { aLocationRow, aPropertyRow, type Row } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let home: Row
let room: Row
let app: Program
let made: { systemId: string; tests: string[] }

beforeAll(async () => {
  service = await buildTestApp()
  home = await aPropertyRow(service.db.pool)
  room = await aLocationRow(service.db.pool, home)
  app = await service.as.app()
  made = await threeAttempts()
})
afterAll(() => service.close())

const at = (day: string) => `2026-${day}T15:00:00Z`

/** A system whose first two tests were too high: its floor was sealed, then its fan changed and a point added. */
async function threeAttempts() {
  const system = await app.post(`/v1/properties/${home.id}/systems`, {
    type: 'sub-slab-suction',
    installedBy: 'us',
    components: [{ kind: 'fan', model: 'small inline fan', installed: { at: at('01-05') } }],
    suctionPoints: [{ name: 'North wall', since: at('01-05') }],
    events: [{ kind: 'first-start', when: { at: at('01-05') } }],
    gaugeReadings: [{ role: 'start-up', value: '0.90', unit: 'in. w.c.', at: at('01-05') }],
  })
  const { id: systemId, components } = system.body.system
  const tested = async (from: string, to: string, value: string) => {
    const exposure = { locationId: room.id, startAt: at(from), stopAt: at(to), result: { value, unit: 'pCi/L' } }
    const answer = await app.post(`/v1/properties/${home.id}/tests`, {
      purpose: 'post-mitigation',
      method: 'activated-charcoal',
      systemId,
      setAt: at(from),
      pickedUpAt: at(to),
      resultInAt: at(to),
      systemRunning: 'yes',
      exposures: [exposure],
    })
    return answer.body.test.id as string
  }
  const first = await tested('01-10', '01-13', '6.1')
  await app.post(`/v1/systems/${systemId}/events`, { kind: 'sealed', when: { at: at('01-15') }, note: 'Floor cracks' })
  await app.post(`/v1/systems/${systemId}/gauge-readings`, {
    role: 'visit',
    value: '1.10',
    unit: 'in. w.c.',
    at: at('01-15'),
  })
  const second = await tested('01-20', '01-23', '4.9')
  const removal = { removed: { at: at('01-25') }, removalReason: 'too weak', reason: 'replaced' }
  const { version } = (await app.get(`/v1/systems/${systemId}`)).body
  await app.patch(`/v1/systems/${systemId}/components/${components[0].id}`, removal, version)
  await app.post(`/v1/systems/${systemId}/components`, {
    kind: 'fan',
    model: 'larger inline fan',
    installed: { at: at('01-25') },
  })
  await app.post(`/v1/systems/${systemId}/suction-points`, { name: 'Crawlspace', since: at('01-25') })
  const third = await tested('02-01', '02-04', '1.8')
  return { systemId, tests: [first, second, third] }
}

it('the page of a test after mitigation shows each attempt: what was changed before it, the gauge, the result', async () => {
  const office = await service.as.office()
  const lines = async (testId: string) => {
    const { text } = await office.get(`/tests/${testId}`)
    const section = text.slice(text.indexOf('<h2>Attempts after mitigation'))
    const body = section.slice(section.indexOf('<tbody'), section.indexOf('</tbody>'))
    return body
      .split('<tr')
      .slice(1)
      .map(row =>
        row
          .replaceAll(/<[^>]*>|^[^>]*>/g, ' ')
          .replaceAll(/\s+/g, ' ')
          .trim(),
      )
  }
  for (const testId of made.tests) {
    const shown = await lines(testId)
    expect(shown).toHaveLength(3)
    expect(shown[0]).toMatch(/the first 0\.90 in\. w\.c\. .*6\.1 pCi\/L/)
    expect(shown[1]).toMatch(/Sealed: Floor cracks .*1\.10 in\. w\.c\. .*4\.9 pCi\/L/)
    expect(shown[1]).not.toContain('fan')
    expect(shown[2]).toMatch(
      /Fan in: larger inline fan .*Fan out: too weak .*Suction point in: Crawlspace .*1\.10 in\. w\.c\. .*1\.8 pCi\/L/,
    )
  }
})

it('the API lists the same attempts, whichever of them is asked for', async () => {
  for (const testId of made.tests) {
    const { status, body } = await app.get(`/v1/tests/${testId}/attempts`)
    expect(status).toBe(200)
    expect(body.caution).toMatch(/licensed or certified radon professional/)
    expect(body.items.map((attempt: { testId: string }) => attempt.testId)).toEqual(made.tests)
    const [first, second, third] = body.items
    const gauge = { value: '0.90', unit: 'in. w.c.', at: '2026-01-05T15:00:00.000Z' }
    expect(first).toMatchObject({ endedAt: '2026-01-13T15:00:00.000Z', changes: [], gauge, outcome: 'at-or-above' })
    expect(first.results).toEqual([
      { locationName: room.name, role: 'measurement', value: '6.1', unit: 'pCi/L', qualifier: '=', uncertainty: null },
    ])
    const sealed = { kind: 'sealed', change: 'event', detail: 'Floor cracks', at: '2026-01-15T15:00:00.000Z' }
    expect(second).toMatchObject({ changes: [sealed], gauge: { value: '1.10' }, results: [{ value: '4.9' }] })
    expect(third.changes.map(({ kind, change }: Record<string, string>) => `${kind} ${change}`)).toEqual([
      'fan in',
      'fan out',
      'suction-point in',
    ])
    expect(third).toMatchObject({ results: [{ value: '1.8', unit: 'pCi/L' }], outcome: 'below' })
  }
})

it('the API lists no attempts beside a test of another purpose', async () => {
  const retest = await app.post(`/v1/properties/${home.id}/tests`, {
    purpose: 'retest',
    method: 'activated-charcoal',
    systemId: made.systemId,
    setAt: at('02-10'),
    exposures: [{ locationId: room.id }],
  })
  const { status, body } = await app.get(`/v1/tests/${retest.body.test.id}/attempts`)
  expect(status).toBe(200)
  expect(body.items).toEqual([])
})

it('a program of other homes finds no test there: 404', async () => {
  const elsewhere = await service.as.app({ homes: [(await aPropertyRow(service.db.pool)).id] })
  const answer = await elsewhere.get(`/v1/tests/${made.tests[0]}/attempts`)
  expect(answer.status).toBe(404)
})

it('a look at the attempts is written down for each test that was shown', async () => {
  const reader = await service.as.app()
  const ids = made.tests.toSorted()
  await reader.get(`/v1/tests/${ids[0]}/attempts`)
  const { rows } = await service.db.pool.query(
    `select noun_id as id, property_id as home from audit
      where action = 'read' and noun = 'test' and actor_id = $1 order by noun_id`,
    [reader.id],
  )
  expect(rows).toEqual(ids.map(id => ({ id, home: home.id })))
})
