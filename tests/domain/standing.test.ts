import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { HomeFacts, TestFacts } from '../../src/domain/facts.ts'
import type { Policy } from '../../src/domain/policy/policy-schema.ts'
import { canonicalText } from '../../src/domain/standing/canonical-text.ts'
import { standingOf } from '../../src/domain/standing/standing-of.ts'
import {
  aHome,
  aLongTest,
  anExposure,
  aSystem,
  aTest,
  basement,
  bedroom,
  day,
  instant,
  policies,
  policiesOf,
  seededPolicies,
} from '../support/homes.ts'

const now = instant('2026-11-25T18:00:00Z')
const standing = (home: HomeFacts) => standingOf(home, policies, now)
const verdict = (home: HomeFacts) => {
  const { outcome, reason } = standing(home).verdict
  return reason ? `${outcome} (${reason})` : outcome
}
const owedBy = (home: HomeFacts) =>
  standing(home).obligations.map(({ kind, earliestOn, dueOn }) => [kind, earliestOn, dueOn])
const feb = '2026-02-10T12:00:00-06:00'
const may = '2026-05-10T12:00:00-05:00'

describe('an unmitigated home in the United States', () => {
  test('never tested is undetermined and owes its first test', () => {
    expect(verdict(aHome())).toBe('undetermined (never-tested)')
    expect(owedBy(aHome())).toEqual([['initial-test', null, '2024-04-09']])
  })
  test('a first short-term result at the level wants a second test, one below does not', () => {
    expect(verdict(aHome({ tests: [aTest('t', feb, '4.0 pCi/L')] }))).toBe('needs-follow-up')
    expect(verdict(aHome({ tests: [aTest('t', feb, '3.9 pCi/L')] }))).toBe('below')
  })
  test('the second test is urgent above twice the level only', () => {
    expect(owedBy(aHome({ tests: [aTest('t', feb, '8.0 pCi/L')] }))).toEqual([['follow-up-test', null, '2026-05-11']])
    expect(owedBy(aHome({ tests: [aTest('t', feb, '8.1 pCi/L')] }))).toEqual([['follow-up-test', null, '2026-02-24']])
  })
  test('a long-term result overrules short-term ones before and after it', () => {
    const tests = [
      aTest('t1', '2025-01-10T12:00:00-06:00', '6.0 pCi/L'),
      aLongTest('t2', feb, '3.0 pCi/L'),
      aTest('t3', may, '6.0 pCi/L'),
    ]
    expect(verdict(aHome({ tests }))).toBe('below')
  })
  test('a real-estate test by monitor decides at once, by a single passive device it does not', () => {
    const sale = { purpose: 'real-estate' } as const
    expect(verdict(aHome({ tests: [aTest('t', feb, '4.0 pCi/L', { ...sale, method: 'continuous-monitor' })] }))).toBe(
      'at-or-above',
    )
    expect(verdict(aHome({ tests: [aTest('t', feb, '4.0 pCi/L', sale)] }))).toBe('needs-follow-up')
  })
  test('a third result settles a disagreement with the one on its own side', () => {
    const tests = [
      aTest('t1', feb, '3.0 pCi/L'),
      aTest('t2', '2026-03-10T12:00:00-06:00', '6.0 pCi/L'),
      aTest('t3', may, '3.2 pCi/L'),
    ]
    expect(standing(aHome({ tests })).verdict).toMatchObject({
      outcome: 'below',
      compared: { value: '3.1' },
      testIds: ['t1', 't3'],
    })
  })
  test.each([
    ['<0.3 pCi/L', 'below'],
    ['<5 pCi/L', 'undetermined (facts-missing)'],
    ['>100 pCi/L', 'needs-follow-up'],
    ['>3 pCi/L', 'undetermined (facts-missing)'],
  ])('a result of %s is %s', (result, expected) => {
    expect(verdict(aHome({ tests: [aTest('t', feb, result)] }))).toBe(expected)
  })
  test('with blanks alone at the laboratory has no test under way: it owes its own, and the blanks’ result is awaited', () => {
    const blank = anExposure('b', null, { role: 'blank', startAt: instant(feb), stopAt: instant(feb) })
    const blanks = aTest('t', feb, [blank], { resultInAt: null, acceptedAt: null, sentToLabAt: instant(feb) })
    const home = aHome({ tests: [blanks] })
    expect(verdict(home)).toBe('undetermined (never-tested)')
    expect(owedBy(home).map(([kind]) => kind)).toEqual(['initial-test', 'laboratory-result'])
    const back = {
      ...blanks,
      exposures: [{ ...blank, result: { value: '0.2', unit: 'pCi/L', qualifier: '<', uncertainty: null } as const }],
    }
    expect(verdict(aHome({ tests: [back] }))).toBe('undetermined (never-tested)')
    expect(owedBy(aHome({ tests: [back] })).map(([kind]) => kind)).toEqual(['initial-test'])
  })
  test('is retested after five years, or soon after a renovation', () => {
    const home = aHome({ tests: [aTest('t', feb, '1.0 pCi/L')] })
    expect(owedBy(home)).toEqual([['retest', null, '2031-02-10']])
    const renovated = {
      ...home,
      events: [{ id: 'e', kind: 'renovation' as const, when: { at: null, edtf: '2026-06' } }],
    }
    expect(standing(renovated).obligations).toMatchObject([{ dueOn: '2026-09-28', causeId: 'e', because: [{}, {}] }])
  })
  test('a homeowner’s own result is shown and counts only once accepted', () => {
    const own = aTest('t', feb, '1.0 pCi/L', { source: 'homeowner', acceptedAt: null })
    expect(verdict(aHome({ tests: [own] }))).toBe('undetermined (facts-missing)')
    expect(verdict(aHome({ tests: [{ ...own, acceptedAt: now }] }))).toBe('below')
  })
})

describe('a mitigated home', () => {
  const started = aSystem('2026-04-01T10:00:00-05:00')
  const before = aTest('t1', feb, '9.0 pCi/L')
  const tested = (result: string | TestFacts['exposures']) =>
    aHome({
      systems: [started],
      tests: [before, aTest('t2', may, result, { purpose: 'post-mitigation', systemRunning: 'yes' })],
    })
  test('owes a test from 24 hours to 30 days after its fan started', () => {
    const home = aHome({ systems: [started], tests: [before] })
    expect(verdict(home)).toBe('undetermined (altered-since-test)')
    expect(owedBy(home)).toEqual([['post-mitigation-test', '2026-04-02', '2026-05-01']])
  })
  test('is below when every tested location is, and above when one is not', () => {
    expect(verdict(tested('3.9 pCi/L'))).toBe('below')
    const rooms = [anExposure('a', '1.0 pCi/L'), anExposure('b', '4.0 pCi/L', { location: bedroom })]
    expect(verdict(tested(rooms))).toBe('at-or-above')
    expect(owedBy(tested(rooms))).toEqual([['further-mitigation', null, '2026-11-10']])
  })
  test('is retested after two years', () => {
    expect(owedBy(tested('1.0 pCi/L'))).toEqual([['retest', null, '2028-05-10']])
  })
  test.each(['altered', 'repaired'] as const)('whose system was %s since is to be tested again', kind => {
    const event = { id: 'later', kind, when: { at: instant('2026-07-01T10:00:00-05:00'), edtf: null } }
    const home = { ...tested('1.0 pCi/L'), systems: [{ ...started, events: [...started.events, event] }] }
    expect(verdict(home)).toBe('undetermined (altered-since-test)')
    expect(standing(home).obligations).toMatchObject([{ kind: 'retest', causeId: 'later', dueOn: '2026-09-29' }])
  })
  test('whose system was switched off since says nothing of today', () => {
    const off = { id: 'off', kind: 'off' as const, when: { at: instant('2026-07-01T10:00:00-05:00'), edtf: null } }
    const home = { ...tested('1.0 pCi/L'), systems: [{ ...started, events: [...started.events, off] }] }
    expect(verdict(home)).toBe('undetermined (altered-since-test)')
  })
  test('with a device in place owes its pick-up and no further test', () => {
    const set = {
      ...aTest('t2', may, [anExposure('x', null)], { purpose: 'post-mitigation' }),
      pickedUpAt: null,
      resultInAt: null,
      acceptedAt: null,
    }
    const home = aHome({
      systems: [started],
      tests: [before, { ...set, exposures: set.exposures.map(x => ({ ...x, stopAt: null })) }],
    })
    expect(verdict(home)).toBe('undetermined (test-under-way)')
    expect(owedBy(home)).toEqual([['pick-up', '2026-05-09', '2026-05-11']])
  })
})

describe('where only long-term tests decide', () => {
  const canada = { jurisdiction: 'CA-ON', zone: 'America/Toronto' }
  test('a short-term result leaves it undetermined', () => {
    expect(verdict(aHome({ ...canada, tests: [aTest('t', feb, '900 Bq/m3')] }))).toBe(
      'undetermined (not-the-required-kind)',
    )
  })
  test.each([
    ['200 Bq/m3', 'below', []],
    ['201 Bq/m3', 'at-or-above', ['2028-02-10']],
    ['600 Bq/m3', 'at-or-above', ['2028-02-10']],
    ['601 Bq/m3', 'at-or-above', ['2027-02-10']],
  ])('in Canada %s is %s, to be reduced by %s', (result, outcome, due) => {
    const home = aHome({ ...canada, tests: [aLongTest('t', feb, result)] })
    expect(verdict(home)).toBe(outcome)
    expect(standing(home).obligations.map(({ dueOn }) => dueOn)).toEqual(due)
  })
  test('in the United Kingdom the mean of two rooms decides, and no seasonal correction is applied', () => {
    const rooms = [anExposure('a', '250 Bq/m3'), anExposure('b', '149 Bq/m3', { location: bedroom })]
    const britain = { jurisdiction: 'GB', zone: 'Europe/London' }
    const { verdict: found } = standing(aHome({ ...britain, tests: [aLongTest('t', feb, rooms)] }))
    expect(found).toMatchObject({ outcome: 'below', compared: { value: '199.5' } })
    expect(found.working.lines.map(line => line.note)).toContain('no seasonal correction applied')
    expect(verdict(aHome({ ...britain, tests: [aLongTest('t', feb, '250 Bq/m3')] }))).toBe(
      'undetermined (not-the-required-kind)',
    )
  })
})

const usWith = (value: string, effectiveFrom: string): Policy => {
  const us = seededPolicies.find(({ code, effectiveFrom }) => code === 'US' && effectiveFrom === '2019-01-01')
  if (!us) throw new Error('no rule set')
  const levels = us.rules.levels?.map(level => ({ ...level, value }))
  const tiers = us.rules.tiers?.map(tier => (tier.value === '4.0' ? { ...tier, value } : tier))
  return { ...us, effectiveFrom, rules: { ...us.rules, levels, tiers } }
}

describe('rules that change', () => {
  const lowered = policiesOf([...seededPolicies, usWith('2.7', '2027-01-01')])
  const home = aHome({ tests: [aLongTest('t', feb, '3.0 pCi/L')] })
  test('the law of the test’s day gives the verdict, today’s law what is owed', () => {
    const later = standingOf(home, lowered, instant('2027-06-01T00:00:00Z'))
    expect(later.verdict.outcome).toBe('below')
    expect(later.obligations.map(({ kind }) => kind)).toEqual(['mitigation'])
    expect([later.judgedBy?.from, later.owedBy.from]).toEqual(['2019-01-01', '2027-01-01'])
  })
  test('nothing changes until nextChangeAt, and something does then', () => {
    const today = standingOf(home, lowered, now)
    expect(today.nextChangeAt).toBe(instant('2027-01-01T00:00:00-06:00'))
    const at = today.nextChangeAt as number
    expect(canonicalText(standingOf(home, lowered, at - 1))).toBe(canonicalText(today))
    const owed = (when: number) => standingOf(home, lowered, when).obligations.map(({ kind }) => kind)
    expect([owed(at - 1), owed(at)]).toEqual([['retest'], ['mitigation']])
  })
})

const anyTest = fc
  .record({
    days: fc.integer({ min: 0, max: 3000 }),
    tenths: fc.integer({ min: 1, max: 150 }),
    long: fc.boolean(),
    room: fc.constantFrom(basement, bedroom),
  })
  .map(({ days, tenths, long, room }) => (id: string, unit: 'pCi/L' | 'Bq/m3' = 'pCi/L'): TestFacts => {
    const value = unit === 'pCi/L' ? `${Math.floor(tenths / 10)}.${tenths % 10}` : `${(tenths * 37) / 10}`
    const stop = new Date(instant('2016-01-01T12:00:00Z') + days * day).toISOString()
    return (long ? aLongTest : aTest)(id, stop, [anExposure(`${id}-x`, `${value} ${unit}`, { location: room })])
  })
const anyTests = fc.array(anyTest, { minLength: 1, maxLength: 6 })
const system = fc.constantFrom([], [aSystem('2019-06-01T10:00:00-05:00')])

describe('for any home', () => {
  test('the same facts in any order give the same standing', () => {
    fc.assert(
      fc.property(anyTests, system, (makers, systems) => {
        const tests = makers.map((make, i) => make(`t${i}`))
        expect(canonicalText(standing(aHome({ systems, tests: [...tests].reverse() })))).toBe(
          canonicalText(standing(aHome({ systems, tests }))),
        )
      }),
    )
  })
  test('every part of it in any order gives the same standing', () => {
    const turned = <T>(list: readonly T[]): readonly T[] => [...list].reverse()
    fc.assert(
      fc.property(anyTests, makers => {
        const off = { id: 'a-off', kind: 'off' as const, when: { at: instant('2020-02-01T12:00:00Z'), edtf: null } }
        const on = { ...off, id: 'b-on', kind: 'on' as const }
        const altered = { ...off, id: 'c-altered', kind: 'altered' as const, when: { at: null, edtf: '2021' } }
        const fan = { id: 'fan', kind: 'fan', model: 'any', installed: altered.when, removed: null }
        const system = aSystem('2019-06-01T10:00:00-05:00')
        const grown = {
          ...system,
          events: [...system.events, off, on, altered],
          components: [fan, { ...fan, id: 'pipe' }],
        }
        const sale = { id: 'sale', kind: 'sale' as const, when: { at: null, edtf: '2022' } }
        const tests = makers.map((make, i) => make(`t${i}`))
        const home = aHome({
          systems: [grown],
          tests: tests.map(one => ({ ...one, exposures: [...one.exposures, anExposure(`${one.id}-y`, '2.0 pCi/L')] })),
          events: [sale, { ...sale, id: 'addition', kind: 'addition' }],
        })
        const turnedHome = {
          ...home,
          locations: turned(home.locations),
          events: turned(home.events),
          tests: turned(home.tests),
          systems: home.systems.map(one => ({
            ...one,
            events: turned(one.events),
            components: turned(one.components),
          })),
        }
        expect(canonicalText(standing(turnedHome))).toBe(canonicalText(standing(home)))
      }),
      { numRuns: 50 },
    )
  })
  test('nothing changes between two changes: a millisecond before nextChangeAt it stands as now', () => {
    const changing = policiesOf([...seededPolicies, usWith('2.7', '2027-01-01'), usWith('2.0', '2028-07-01')])
    fc.assert(
      fc.property(anyTests, system, (makers, systems) => {
        const home = aHome({ systems, tests: makers.map((make, i) => make(`t${i}`)) })
        const at = [now]
        for (let next = standingOf(home, changing, now).nextChangeAt; next !== null; ) {
          const before = standingOf(home, changing, at.at(-1)!)
          expect(canonicalText(standingOf(home, changing, next - 1))).toBe(canonicalText(before))
          at.push(next)
          next = standingOf(home, changing, next).nextChangeAt
        }
        expect(at).toEqual([now, instant('2027-01-01T00:00:00-06:00'), instant('2028-07-01T00:00:00-05:00')])
      }),
      { numRuns: 50 },
    )
  })
  test('the unit a result was entered in never changes the verdict', () => {
    fc.assert(
      fc.property(anyTests, system, (makers, systems) => {
        const inUnit = (unit: 'pCi/L' | 'Bq/m3') =>
          standing(aHome({ systems, tests: makers.map((make, i) => make(`t${i}`, unit)) })).verdict
        expect(inUnit('Bq/m3')).toMatchObject({ outcome: inUnit('pCi/L').outcome, compared: inUnit('pCi/L').compared })
      }),
    )
  })
  test('an irrelevant fact never changes the verdict', () => {
    fc.assert(
      fc.property(anyTests, system, (makers, systems) => {
        const home = aHome({ systems, tests: makers.map((make, i) => make(`t${i}`)) })
        const blank = anExposure('blank', '99 pCi/L', { role: 'blank', pairKey: null })
        const withBlank = home.tests.map(t => ({
          ...t,
          exposures: [...t.exposures, { ...blank, id: `${t.id}-blank` }],
        }))
        const sale = { id: 'e', kind: 'sale' as const, when: { at: now, edtf: null } }
        const more = { ...home, yearBuilt: 1901, events: [sale], tests: withBlank }
        expect(standing(more).verdict).toEqual(standing(home).verdict)
      }),
    )
  })
  test('raising a level never makes a new exceedance', () => {
    const rank = { below: 0, undetermined: 1, 'needs-follow-up': 2, disagreement: 2, 'at-or-above': 3 }
    const laws = ['3.0', '4.0', '5.0'].map(value =>
      policiesOf([usWith(value, '2010-01-01'), ...seededPolicies.filter(({ code }) => code !== 'US')]),
    )
    fc.assert(
      fc.property(anyTest, system, (make, systems) => {
        const home = aHome({ systems, tests: [make('t')] })
        const ranks = laws.map(law => rank[standingOf(home, law, now).verdict.outcome])
        expect(ranks).toEqual([...ranks].sort((a, b) => b - a))
      }),
    )
  })
})
