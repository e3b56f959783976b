import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person } from '../../support/actors.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'
import { aWholeHome } from '../../support/world.ts'

let service: TestApp
let owner: Person

beforeAll(async () => {
  service = await buildTestApp()
  owner = await service.as.owner()
})
afterAll(() => service.close())

const version = async (): Promise<number> =>
  (await service.db.pool.query('select version from company')).rows[0].version
const save = async (form: string, fields: Record<string, string>) =>
  owner.submit(`/company/${form}`, { ...fields, _key: undefined, version: await version() })
const seen = async () => (await (await service.as.app({ scopes: ['company:read'] })).get('/v1/company')).body

const week = { monday: '8-12, 1 pm to 5 pm', tuesday: '08:00–17:00', saturday: '9am-24:00' }

describe('working hours', () => {
  it('stand at Monday to Friday from eight to five until the company says otherwise', async () => {
    const { workingHours } = await seen()
    const day = [{ from: '08:00', until: '17:00' }]
    expect(workingHours).toEqual({ week: [day, day, day, day, day, [], []], holidays: [] })
  })

  it.each([
    ['a stretch that ends before it begins', { ...week, monday: '17:00-08:00' }, 'ends before it begins'],
    ['stretches that overlap', { ...week, monday: '8-12, 11-17' }, 'lies within the stretch before it'],
    ['what is no stretch', { ...week, monday: 'mornings' }, '“mornings” is no stretch of a day'],
    ['a holiday that is no day', { ...week, holidays: '2026-02-30 Leap' }, '“2026-02-30 Leap” is no day'],
    ['a holiday twice', { ...week, holidays: '2026-07-04 One\n2026-07-04 Two' }, '2026-07-04 stands here twice'],
  ])('are refused with %s; what was typed comes back', async (_, fields, said) => {
    const answer = await save('hours', fields)
    expect([answer.status, answer.text.includes(said)]).toEqual([422, true])
    expect(answer.text).toContain('value="08:00–17:00"')
  })

  it('are kept as stretches of each weekday, holidays by day', async () => {
    const holidays = '2026-12-25 Christmas Day\n2026-07-03 Independence Day, observed'
    expect((await save('hours', { ...week, holidays })).status).toBe(303)
    expect((await seen()).workingHours).toEqual({
      week: [
        [
          { from: '08:00', until: '12:00' },
          { from: '13:00', until: '17:00' },
        ],
        [{ from: '08:00', until: '17:00' }],
        [],
        [],
        [],
        [{ from: '09:00', until: '24:00' }],
        [],
      ],
      holidays: [
        { day: '2026-07-03', name: 'Independence Day, observed' },
        { day: '2026-12-25', name: 'Christmas Day' },
      ],
    })
  })
})

describe('the price of a kilowatt-hour', () => {
  it.each([
    ['without its currency', { electricityPrice: '0.17' }, 'fill in both, or neither'],
    ['in what is no currency', { electricityPrice: '0.17', electricityCurrency: 'dollars' }, 'is no currency code'],
    ['that is no number', { electricityPrice: 'cheap', electricityCurrency: 'USD' }, 'is no number'],
    ['below zero', { electricityPrice: '-1', electricityCurrency: 'USD' }, 'is no price'],
  ])('is refused %s', async (_, fields, said) => {
    const answer = await save('electricity', fields)
    expect([answer.status, answer.text.includes(said)]).toEqual([422, true])
  })

  it('keeps every digit with its currency, and can be taken away', async () => {
    await save('electricity', { electricityPrice: '0,1720', electricityCurrency: 'usd' })
    expect((await seen()).electricity).toEqual({ price: '0.1720', currency: 'USD' })
    await save('electricity', {})
    expect((await seen()).electricity).toBeNull()
  })
})

describe('the company’s own words of caution', () => {
  const ours = 'judgement of a licensed or certified professional come first'
  const added = 'Ask us before you <open> a wall.'

  it('stand after ours on every page for staff, in the API and on the page of the homeowner', async () => {
    expect((await save('caution', { cautionAdded: added })).status).toBe(303)
    const home = await aWholeHome(await service.as.app(), 'Alder')
    for (const path of ['/', `/homes/${home.property}/link`]) {
      const { text } = await owner.get(path)
      expect([path, text.includes(ours), text.includes('Ask us before you &lt;open> a wall.')]).toEqual([
        path,
        true,
        true,
      ])
    }
    expect((await seen()).cautionAdded).toBe(added)
    const standing = await (await service.as.app()).get(`/v1/properties/${home.property}/standing`)
    expect(standing.body.caution).toMatch(/radon professional before deciding\. Ask us before you <open> a wall\.$/)
  })

  it('leave ours as they are when they are taken away', async () => {
    await save('caution', {})
    const { text } = await owner.get('/')
    expect([text.includes(ours), text.includes('Ask us before')]).toEqual([true, false])
  })
})

describe('how long things take', () => {
  it.each([
    ['an installation of more than a day', { installMinutes: '1441' }],
    ['half a minute', { setMinutes: '0.5' }],
    ['a laboratory that takes a quarter', { laboratoryDays: '91' }],
  ])('is refused with %s', async (_, change) => {
    const fields = {
      ...{ installMinutes: '300', setMinutes: '30', pickUpMinutes: '20', otherVisitMinutes: '60' },
      ...{ reportMinutes: '90', laboratoryDays: '5', ...change },
    }
    expect((await save('durations', fields)).status).toBe(422)
  })
})

describe('the unit gauges are read in', () => {
  it('is the one a gauge’s form begins with', async () => {
    const home = await aWholeHome(await service.as.app(), 'Alder')
    const chosen = async () =>
      /value="([^"]+)"[^>]*checked/.exec((await owner.get(`/systems/${home.system}/gauge`)).text)?.[1]
    expect(await chosen()).toBe('in. w.c.')
    await service.db.pool.query(`update company set default_pressure_unit = 'Pa'`)
    expect(await chosen()).toBe('Pa')
  })
})
