import { describe, expect, it } from 'vitest'
import type { BuildingUse } from '../../src/domain/facts.ts'
import { resolvePolicy } from '../../src/domain/policy/resolve-policy.ts'
import { figureOf } from '../../src/domain/quantity/figure.ts'
import { compareWithLevel } from '../../src/domain/verdict/compare-with-level.ts'
import { policies, reported } from '../support/homes.ts'

type Row = readonly [
  place: string,
  use: BuildingUse,
  built: number | null,
  operator: '>' | '>=',
  value: number,
  unit: 'Bq/m3' | 'pCi/L',
  statistic: string,
  source: string,
  status: 'checked' | 'unverified',
]

// Typed from published tables, the instrument beside each; "checked" where that document or an official page
// restating it was read. Norway, Denmark and Sweden say which rooms count; where nobody does, the worst lived-in room is ours.
const rows: readonly Row[] = [
  ['NZ', 'home', null, '>', 100, 'Bq/m3', 'worst-lived-in-room', 'WHO Handbook on Indoor Radon, 2009', 'checked'],
  ['EU', 'home', null, '>', 300, 'Bq/m3', 'worst-lived-in-room', 'Directive 2013/59/Euratom art. 74', 'checked'],
  ['EU', 'workplace', null, '>', 300, 'Bq/m3', 'each-location', 'Directive 2013/59/Euratom art. 54', 'checked'],
  ['US', 'home', null, '>=', 4, 'pCi/L', 'each-location', 'EPA Citizen’s Guide; MAH-2019 7.1', 'checked'],
  ['CA', 'home', null, '>', 200, 'Bq/m3', 'worst-lived-in-room', 'Radon Guideline, June 2007', 'checked'],
  ['GB', 'home', null, '>=', 200, 'Bq/m3', 'mean-of-required-rooms', 'HPA RCE-15, 2010', 'checked'],
  ['GB', 'workplace', null, '>', 300, 'Bq/m3', 'each-location', 'IRR 2017 reg. 3', 'checked'],
  ['IE', 'home', null, '>', 200, 'Bq/m3', 'mean-of-required-rooms', 'national reference level, 1990', 'checked'],
  ['IE', 'workplace', null, '>', 300, 'Bq/m3', 'each-location', 'S.I. 30 of 2019 art. 65-66', 'checked'],
  ['IE', 'school', null, '>', 300, 'Bq/m3', 'each-location', 'S.I. 30 of 2019 art. 65-66', 'checked'],
  ['DE', 'home', null, '>', 300, 'Bq/m3', 'worst-lived-in-room', 'StrlSchG § 124', 'checked'],
  ['DE', 'workplace', null, '>', 300, 'Bq/m3', 'each-location', 'StrlSchG § 126', 'checked'],
  ['AT', 'home', null, '>', 300, 'Bq/m3', 'worst-lived-in-room', 'RnV, BGBl. II 470/2020', 'checked'],
  ['CH', 'home', null, '>', 300, 'Bq/m3', 'worst-lived-in-room', 'RPO 2017 art. 155', 'checked'],
  ['CH', 'workplace', null, '>', 1000, 'Bq/m3', 'each-location', 'RPO 2017 art. 156', 'checked'],
  ['FR', 'home', null, '>', 300, 'Bq/m3', 'worst-lived-in-room', 'CSP art. R.1333-28', 'checked'],
  ['ES', 'home', null, '>', 300, 'Bq/m3', 'worst-lived-in-room', 'RD 1029/2022', 'checked'],
  ['PT', 'home', null, '>', 300, 'Bq/m3', 'worst-lived-in-room', 'DL 108/2018 art. 145', 'checked'],
  ['BE', 'home', null, '>', 300, 'Bq/m3', 'worst-lived-in-room', 'FANC', 'checked'],
  ['NL', 'home', null, '>', 100, 'Bq/m3', 'worst-lived-in-room', 'Bbs, 6 February 2018', 'checked'],
  ['NL', 'workplace', null, '>', 100, 'Bq/m3', 'worst-lived-in-room', 'Bbs, 6 February 2018', 'checked'],
  ['DK', 'home', 2009, '>', 100, 'Bq/m3', 'dwelling-mean', 'recommendation, existing buildings', 'checked'],
  ['DK', 'home', 2010, '>', 100, 'Bq/m3', 'dwelling-mean', 'BR18 §§ 329-333', 'checked'],
  ['DK', 'workplace', null, '>', 300, 'Bq/m3', 'each-location', 'from memory', 'unverified'],
  ['SE', 'home', null, '>', 200, 'Bq/m3', 'dwelling-mean', 'reference level', 'checked'],
  ['NO', 'home', null, '>', 100, 'Bq/m3', 'worst-lived-in-room', 'DSA action level', 'checked'],
  ['CZ', 'home', null, '>', 300, 'Bq/m3', 'worst-lived-in-room', 'Decree 422/2016 § 97', 'checked'],
  ['CZ', 'workplace', null, '>', 300, 'Bq/m3', 'each-location', 'from memory', 'unverified'],
  ['PL', 'home', null, '>', 300, 'Bq/m3', 'worst-lived-in-room', 'Prawo atomowe art. 23b', 'checked'],
  ['AU', 'home', null, '>', 200, 'Bq/m3', 'worst-lived-in-room', 'ARPANSA RPS G-2 annex A', 'checked'],
]

const lawOf = (jurisdiction: string, buildingUse: BuildingUse, yearBuilt: number | null) =>
  resolvePolicy(policies, { jurisdiction, buildingUse, yearBuilt }, '2026-11-25')!

describe.each(rows)('in %s, %s, built %s: %s %d %s, %s (%s)', (place, use, built, ...rest) => {
  const [operator, value, unit, statistic, , status] = rest
  const law = lawOf(place, use, built)
  const outcome = (result: number) => compareWithLevel(figureOf(reported(`${result.toFixed(1)} ${unit}`)), law)?.outcome

  it('a result beneath the level is under, one beyond it over, and the operator decides on the level itself', () => {
    expect([outcome(value - 0.1), outcome(value), outcome(value + 0.1)]).toEqual([
      'under',
      operator === '>=' ? 'over' : 'under',
      'over',
    ])
  })

  it('says which figure is compared and whether the document was read', () => {
    expect(law.level).toMatchObject({ operator, value: expect.any(String), unit, statistic, ref: { status } })
    expect(Number(law.level?.value)).toBe(value)
  })
})

describe('who is bound', () => {
  // DSA: binding for rented homes, schools and kindergartens since 1 January 2014. BR18: buildings from 2010 on.
  it.each([
    ['NO', 'home', null, false],
    ['NO', 'rented-home', null, true],
    ['NO', 'school', null, true],
    ['DK', 'home', 2009, false],
    ['DK', 'home', 2010, true],
    ['DK', 'home', null, false],
  ] as const)('in %s, %s, built %s: %s', (place, use, built, binding) => {
    expect(lawOf(place, use, built).level?.binding).toBe(binding)
  })
})

describe('bands above the level', () => {
  // RPO and FOPH guide; DSA; Danish recommendation; Decree 422/2016 § 97; ERP in France.
  it.each([
    ['CH', 'home', ['> 300 mitigation P10Y', '> 600 mitigation P3Y', '> 1000 mitigation P1Y']],
    ['NO', 'home', ['> 100 mitigation', '> 200 mitigation']],
    ['DK', 'home', ['> 100 mitigation', '> 200 mitigation']],
    ['CZ', 'home', ['> 300 consider-mitigation', '> 3000 mitigation']],
    ['FR', 'public-building', ['> 300 mitigation', '> 1000 mitigation']],
  ] as const)('in %s, %s: %j', (place, use, bands) => {
    const said = lawOf(place, use, null).tiers.map(
      ({ operator, value, asks, deadline }) => `${operator} ${value} ${asks}${deadline === null ? '' : ` ${deadline}`}`,
    )
    expect(said).toEqual(bands)
  })
})
