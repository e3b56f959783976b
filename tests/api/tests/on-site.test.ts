import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person, Program } from '../../support/actors.ts'
import { anAssignment } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'
import { aWholeHome, type Home } from '../../support/world.ts'

let service: TestApp
let app: Program
let crew: Person
let home: Home

beforeAll(async () => {
  service = await buildTestApp({ at: '2026-03-03T15:20:00Z' })
  app = await service.as.app()
  crew = await service.as.staff(['crew'], { name: 'Wes Alder' })
  home = await aWholeHome(app, 'Alder')
  await anAssignment(service.db.pool, { id: home.visit }, { id: crew.id })
})
afterAll(() => service.close())

const fieldOf = (html: string, name: string) => new RegExp(`name="${name}"[^>]*? value="([^"]*)"`).exec(html)?.[1]

describe('a crew in the home', () => {
  it('finds now, on the home’s clock, and its own name in the short form for setting a device', async () => {
    const { text } = await crew.get(`/homes/${home.property}/tests/new?doing=set`)
    expect([fieldOf(text, 'set'), fieldOf(text, 'set-time'), fieldOf(text, 'set-by')]).toEqual([
      '2026-03-03',
      '09:20',
      'Wes Alder',
    ])
    for (const later of ['picked-up', `result-${home.location}`, 'tampering', 'source'])
      expect(text).not.toContain(`name="${later}"`)
  })

  it('sets a monitor by choosing it, and its method follows; then picks it up with two taps and reads which monitor measured', async () => {
    const set = await crew.submit(`/homes/${home.property}/tests/new?doing=set`, {
      purpose: 'retest',
      method: '',
      [`device-${home.location}`]: home.device,
      set: '2026-03-03',
      'set-time': '09:20',
      'set-by': 'Wes Alder',
    })
    expect([set.status, set.text.slice(0, 300)]).toEqual([303, ''])
    const id = set.headers.location!.split('/').at(-1)
    const { body } = await app.get(`/v1/tests/${id}`)
    expect(body).toMatchObject({ method: 'continuous-monitor', setAt: '2026-03-03T15:20:00.000Z', setBy: 'Wes Alder' })
    expect(body.exposures).toMatchObject([{ locationId: home.location, deviceId: home.device }])

    service.clock.advance(49 * 3_600_000)
    const pickUp = (await crew.get(`/tests/${id}/pick-up`)).text
    const now = { 'picked-up': '2026-03-05', 'picked-up-time': '10:20', by: 'Wes Alder' }
    expect(Object.keys(now).map(name => fieldOf(pickUp, name))).toEqual(Object.values(now))
    expect((await crew.submit(`/tests/${id}/pick-up`, { ...now, version: 1 })).status).toBe(303)
    const page = (await crew.get(`/tests/${id}`)).text
    expect(page).toContain(`<a href="/devices/${home.device}">Radon monitor Alder-9</a>`)
    const later = await service.as.app()
    expect((await later.get(`/v1/tests/${id}`)).body.pickedUpAt).toBe('2026-03-05T16:20:00.000Z')
  })

  it('is asked for the method where neither it nor a device says it, in the same short form', async () => {
    const answer = await crew.submit(`/homes/${home.property}/tests/new?doing=set`, {
      purpose: 'retest',
      [`kit-${home.location}`]: 'K-17',
      set: 'today',
    })
    expect(answer.status).toBe(422)
    expect(answer.text).toMatch(/id="field-method"[^>]*aria-invalid="true"/)
    expect(answer.text).toContain('K-17')
    expect(answer.text).not.toContain('name="source"')
  })
})

it('leaves the moment of a pick-up to the office, which may write it down days later', async () => {
  const office = await service.as.office()
  expect(fieldOf((await office.get(`/tests/${home.test}/pick-up`)).text, 'picked-up')).toBe('')
})
