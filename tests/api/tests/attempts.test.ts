import { afterAll, beforeAll, expect, it } from 'vitest'
import { aLocationRow, aPropertyRow, type Row } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let home: Row
let room: Row

beforeAll(async () => {
  service = await buildTestApp()
  home = await aPropertyRow(service.db.pool)
  room = await aLocationRow(service.db.pool, home)
})
afterAll(() => service.close())

const at = (day: string) => `2026-${day}T15:00:00Z`

it('the page of a test after mitigation shows each attempt: what was changed before it, the gauge, the result', async () => {
  const app = await service.as.app()
  const made = await app.post(`/v1/properties/${home.id}/systems`, {
    type: 'sub-slab-suction',
    installedBy: 'us',
    components: [{ kind: 'fan', model: 'small inline fan', installed: { at: at('01-05') } }],
    suctionPoints: [{ name: 'North wall', since: at('01-05') }],
    events: [{ kind: 'first-start', when: { at: at('01-05') } }],
    gaugeReadings: [{ role: 'start-up', value: '0.90', unit: 'in. w.c.', at: at('01-05') }],
  })
  const { id: systemId, components } = made.body.system
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
  for (const shown of [await lines(first), await lines(second), await lines(third)]) {
    expect(shown).toHaveLength(3)
    expect(shown[0]).toMatch(/the first 0\.90 in\. w\.c\. .*6\.1 pCi\/L/)
    expect(shown[1]).toMatch(/Sealed: Floor cracks .*1\.10 in\. w\.c\. .*4\.9 pCi\/L/)
    expect(shown[1]).not.toContain('fan')
    expect(shown[2]).toMatch(
      /Fan in: larger inline fan .*Fan out: too weak .*Suction point in: Crawlspace .*1\.10 in\. w\.c\. .*1\.8 pCi\/L/,
    )
  }
})
