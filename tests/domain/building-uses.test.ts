import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { BuildingUse } from '../../src/domain/facts.ts'
import { buildingUses, type Policy } from '../../src/domain/policy/policy-schema.ts'
import { type Place, resolvePolicy } from '../../src/domain/policy/resolve-policy.ts'
import { standingOf } from '../../src/domain/standing/standing-of.ts'
import {
  aHome,
  aLongTest,
  anExposure,
  aTest,
  basement,
  instant,
  policies,
  policiesOf,
  seededPolicies,
} from '../support/homes.ts'
import { lawOf } from '../support/laws.ts'

const today = '2026-11-25'
const levelOf = (jurisdiction: string, use: BuildingUse, day = today) => {
  const { level } = lawOf(jurisdiction, use, day)
  return level && `${level.operator} ${level.value} ${level.unit} ${level.statistic}, ${level.ref.instrument}`
}

describe('the level results are held against', () => {
  // Trade reference tables: EPA, MALB companion guidance H; Government of Canada; RCE-15 and the regulations of 2017; WHO, IAEA.
  it.each<[string, BuildingUse, string, string]>([
    ['US', 'home', today, ">= 4.0 pCi/L each-location, EPA, A Citizen's Guide to Radon (402/K-12/002)"],
    ['US', 'rented-home', today, ">= 4.0 pCi/L each-location, EPA, A Citizen's Guide to Radon (402/K-12/002)"],
    ['US', 'school', today, '>= 4.0 pCi/L each-location, EPA, Radon Measurement in Schools (402-R-92-014)'],
    [
      'US',
      'workplace',
      today,
      '>= 4.0 pCi/L each-location, ANSI/AARST MALB, Measurement of Radon in Schools and Large Buildings',
    ],
    [
      'US',
      'public-building',
      today,
      '>= 4.0 pCi/L each-location, ANSI/AARST MALB, Measurement of Radon in Schools and Large Buildings',
    ],
    ['CA', 'home', today, '> 200 Bq/m3 worst-lived-in-room, Government of Canada Radon Guideline'],
    ['CA', 'workplace', today, '> 200 Bq/m3 worst-lived-in-room, Government of Canada Radon Guideline'],
    ['GB', 'home', today, '>= 200 Bq/m3 mean-of-required-rooms, HPA, Limitation of Human Exposure to Radon (RCE-15)'],
    ['GB', 'school', today, '> 300 Bq/m3 each-location, Ionising Radiations Regulations 2017, reg. 3'],
    ['GB', 'workplace', '2018-01-01', '> 300 Bq/m3 each-location, Ionising Radiations Regulations 2017, reg. 3'],
    ['GB', 'workplace', '2017-12-31', '> 400 Bq/m3 each-location, Ionising Radiations Regulations 1999'],
    ['NZ', 'home', today, '> 100 Bq/m3 worst-lived-in-room, WHO Handbook on Indoor Radon'],
    ['NZ', 'workplace', today, '> 1000 Bq/m3 each-location, IAEA General Safety Requirements Part 3'],
  ])('in %s for a %s on %s is %s', (jurisdiction, use, day, level) => {
    expect(levelOf(jurisdiction, use, day)).toBe(level)
  })

  it('of gas is one in every seeded place, use and time; others stand beside it and are not compared', () => {
    const days = policies.turningDays
    for (const jurisdiction of [...policies.codeByJurisdiction.keys(), 'US-MN', 'FR']) {
      for (const use of buildingUses) {
        for (const day of days) expect(lawOf(jurisdiction, use, day).level?.quantity).toBe('gas')
      }
    }
    const beside = (use: BuildingUse) =>
      lawOf('US', use, today).otherLevels.map(({ value, unit }) => `${value} ${unit}`)
    expect([beside('home'), beside('school'), beside('workplace')]).toEqual([[], ['0.02 WL'], ['100 pCi/L']])
  })

  it('decides by use: one result is over in a workplace of one country and not of another', () => {
    const outcome = (jurisdiction: string, buildingUse: BuildingUse, rooms: readonly string[]) => {
      const exposures = rooms.map((result, i) =>
        anExposure(`x${i}`, result, { location: { ...basement, id: `room-${i}`, name: `Room ${i}` } }),
      )
      const tests = [aLongTest('t', '2026-02-10T12:00:00Z', exposures)]
      const home = aHome({ jurisdiction, buildingUse, zone: 'UTC', tests })
      return standingOf(home, policies, instant('2026-11-25T18:00:00Z')).verdict.outcome
    }
    const rooms = ['150 Bq/m3', '250 Bq/m3']
    expect(outcome('GB', 'home', rooms)).toBe('at-or-above')
    expect(outcome('GB', 'home', ['149 Bq/m3', '250 Bq/m3'])).toBe('below')
    expect(outcome('GB', 'workplace', rooms)).toBe('below')
    expect(outcome('GB', 'workplace', ['301 Bq/m3'])).toBe('at-or-above')
    expect(outcome('US', 'workplace', rooms)).toBe('at-or-above')
    expect(outcome('NZ', 'workplace', ['1000 Bq/m3'])).toBe('below')
    expect(outcome('NZ', 'home', ['101 Bq/m3'])).toBe('at-or-above')
  })

  it('at once by a monitor at a sale is for homes: a school’s first result wants a second', () => {
    const sale = aTest('t', '2026-02-10T12:00:00Z', '9.0 pCi/L', {
      purpose: 'real-estate',
      method: 'continuous-monitor',
    })
    const outcome = (buildingUse: BuildingUse) =>
      standingOf(aHome({ buildingUse, tests: [sale] }), policies, instant('2026-11-25T18:00:00Z')).verdict.outcome
    expect([outcome('home'), outcome('school')]).toEqual(['at-or-above', 'needs-follow-up'])
  })

  it('in a school is not cleared for years by a long-term result: a later short one counts', () => {
    const tests = [
      aLongTest('long', '2025-02-10T12:00:00Z', '3.0 pCi/L'),
      aTest('short', '2026-02-10T12:00:00Z', '6.0 pCi/L'),
    ]
    const outcome = (buildingUse: BuildingUse) =>
      standingOf(aHome({ buildingUse, tests }), policies, instant('2026-11-25T18:00:00Z')).verdict.outcome
    expect([outcome('home'), outcome('school')]).toEqual(['below', 'needs-follow-up'])
  })
})

describe('a state’s rule set', () => {
  it('says only what differs, and the rest is its country’s, then what stands behind all', () => {
    const { rules, level, code } = lawOf('US-PA', 'home', today)
    expect([code, level?.ref.policyCode]).toEqual(['US-PA', 'US'])
    // 25 Pa. Code 240.310(a)(1)(iv): six feet at most
    expect(rules.maximumHeightCm).toMatchObject({ value: 182.88, ref: { policyCode: 'US-PA' } })
    expect(rules.minimumHeightCm?.ref.policyCode).toBe('US')
    expect(rules.pickUpWithin?.ref.policyCode).toBe('WHO')
    expect(lawOf('US', 'home', today).rules.maximumHeightCm).toBeUndefined()
  })

  it('that does not exist, or not yet, leaves the country’s in force', () => {
    expect(lawOf('US-MN', 'home', today).code).toBe('US')
    expect(lawOf('US-PA', 'home', '2018-12-31').code).toBe('US')
    expect(lawOf('ZZ', 'home', today).code).toBe('WHO')
  })

  it('takes a rule of its parent away by naming it as none', () => {
    const texas = { ...us(), code: 'US-TX', jurisdiction: 'US-TX', parent: 'US', uses: {}, rules: { rounding: null } }
    const law = resolvePolicy(policiesOf([...seededPolicies, texas]), place({ jurisdiction: 'US-TX' }), today)
    expect(law?.rules.rounding).toBeUndefined()
    expect(law?.level?.value).toBe('4.0')
  })

  it('outweighs by what it says for all even what its parent says for one use', () => {
    const levels = us().rules.levels!.map(level => ({ ...level, value: '3.0' }))
    const texas = { ...us(), code: 'US-TX', jurisdiction: 'US-TX', parent: 'US', uses: {}, rules: { levels } }
    const law = resolvePolicy(
      policiesOf([...seededPolicies, texas]),
      place({ jurisdiction: 'US-TX', buildingUse: 'school' }),
      today,
    )
    expect(law?.level?.value).toBe('3.0')
  })
})

const us = (): Policy => seededPolicies.findLast(({ code }) => code === 'US')!
const place = (over: Partial<Place>): Place => ({ jurisdiction: 'US', buildingUse: 'home', yearBuilt: null, ...over })

describe('a level for the years of building', () => {
  // Italy, D.Lgs. 101/2020 art. 12: 300 Bq/m3, and 200 for homes built after 31 December 2024
  const who = seededPolicies.find(({ code }) => code === 'WHO')!
  const [level] = who.rules.levels!
  const levels = [
    { ...level!, value: '300' },
    { ...level!, value: '200', builtFrom: 2025 },
  ]
  const italy = { ...who, code: 'IT', jurisdiction: 'IT', parent: 'WHO', uses: {}, rules: { levels } }
  const withItaly = policiesOf([...seededPolicies, italy])
  const built = (yearBuilt: number | null) =>
    resolvePolicy(withItaly, place({ jurisdiction: 'IT', yearBuilt }), today)?.level?.value

  it('holds from the year it names and not the year before; an unknown year has the general one', () => {
    expect([built(2024), built(2025), built(null)]).toEqual(['300', '200', '300'])
  })

  it('decides the verdict of the same result', () => {
    const outcome = (yearBuilt: number | null) => {
      const tests = [aLongTest('t', '2026-02-10T12:00:00Z', '250 Bq/m3')]
      const home = aHome({ jurisdiction: 'IT', zone: 'Europe/Rome', yearBuilt, tests })
      return standingOf(home, withItaly, instant('2026-11-25T18:00:00Z')).verdict.outcome
    }
    expect([outcome(2024), outcome(2025), outcome(null)]).toEqual(['below', 'at-or-above', 'below'])
  })

  it('never matters where no rule names a year', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1700, max: 2030 }), fc.constantFrom(...buildingUses), (yearBuilt, buildingUse) => {
        for (const jurisdiction of ['US-PA', 'CA-ON', 'GB', 'NZ']) {
          const at = place({ jurisdiction, buildingUse })
          expect(resolvePolicy(policies, { ...at, yearBuilt }, today)?.level).toEqual(
            resolvePolicy(policies, at, today)?.level,
          )
        }
      }),
      { numRuns: 50 },
    )
  })
})
