import { describe, expect, it } from 'vitest'
import { parsePolicy } from '../../src/domain/policy/parse-policy.ts'
import { policiesFrom } from '../../src/domain/policy/policies-from.ts'
import type { PolicyProblem } from '../../src/domain/policy/policy-problem.ts'
import type { Policy } from '../../src/domain/policy/policy-schema.ts'
import { seededPolicies } from '../support/homes.ts'

type Json = Record<string, unknown>
const us = seededPolicies.findLast(({ code }) => code === 'US')!
const who = seededPolicies.find(({ code }) => code === 'WHO')!

/** The American rule set with what stands at each pointer replaced; `undefined` takes it out. */
function edited(changes: Record<string, unknown>): unknown {
  const json = structuredClone(us) as unknown as Json
  for (const [pointer, value] of Object.entries(changes)) {
    const steps = pointer.slice(1).split('/')
    const last = steps.pop()!
    const holder = steps.reduce<Json>((at, step) => at[step] as Json, json)
    if (value === undefined) delete holder[last]
    else holder[last] = value
  }
  return json
}
const told = (problems: readonly PolicyProblem[]) =>
  problems.map(({ path, reason, remedy }) => [path, `${reason}. ${remedy}`] as const)
const alone = (changes: Record<string, unknown>) => {
  const read = parsePolicy(edited(changes))
  return read.ok ? [] : told(read.problems)
}
/** Problems once parents are folded in, of the American rule set beside all others. */
const folded = (changes: Record<string, unknown>) => {
  const read = parsePolicy(edited(changes))
  if (!read.ok) throw new Error(JSON.stringify(read.problems))
  const together = policiesFrom([...seededPolicies.filter(policy => policy !== us), read.policy])
  return together.ok ? [] : told(together.problems)
}
const pointers = (found: readonly (readonly [string, string])[]) => [...new Set(found.map(([path]) => path))]

describe('a version of a rule set', () => {
  it('as shipped is taken', () => {
    expect(alone({})).toEqual([])
    expect(folded({})).toEqual([])
  })

  it.each([
    ['/rules/tiers/1/operator', 'is missing. State ">=" where the document says "at or above"'],
    ['/rules/levels/0/instrument', 'is missing. Name the document the rule stands in'],
    ['/rules/minimumHours/clause', 'is missing. Say which clause'],
    ['/rules/retestMitigatedEvery/status', 'is missing. State "checked"'],
    ['/parent', 'is missing. Name the rule set that says what this one leaves out'],
    ['/jurisdiction', 'is missing. State it.'],
  ])('without %s is refused: %s', (pointer, words) => {
    const [fault, ...more] = alone({ [pointer]: undefined })
    expect([fault?.[0], more]).toEqual([pointer, []])
    expect(fault?.[1]).toContain(words)
  })

  it.each([
    ['/rules/levels/0/unit', 'Bq/l', '"Bq/l" is not known here. Write one of: pCi/L, Bq/m3, WL, mSv/y.'],
    ['/rules/tiers/0/unit', 'WL', '"WL" is not known here. Write one of: pCi/L, Bq/m3.'],
    ['/rules/levels/0/operator', '<', '"<" is not known here. Write one of: >=, >.'],
    ['/effectiveFrom', '2026-02-30', 'not a calendar day. Write a day that exists as YYYY-MM-DD.'],
    ['/rules/mitigateWithin/value', 'soon', 'not a period. Write a number of days, weeks, months or years'],
    ['/rules/levels/0/value', '0', 'not a positive decimal. Write a number above zero as text'],
    ['/rules/pairAbsoluteDifference/value/atMost', 'one', 'not a positive decimal.'],
    ['/rules/levells', [], 'no rule set has a field of this name. Correct its name, or take it out.'],
    ['/uses/castle', {}, 'no rule set has a field of this name.'],
  ])('with %s of %j is refused where it stands: %s', (pointer, value, words) => {
    const found = alone({ [pointer]: value })
    expect(pointers(found)).toEqual([pointer])
    expect(found[0]?.[1]).toContain(words)
  })

  it('names every fault at once', () => {
    expect(pointers(alone({ '/title': '', '/rules/tiers/0/unit': 'WL', '/effectiveUntil': 'never' }))).toEqual([
      '/title',
      '/effectiveUntil',
      '/rules/tiers/0/unit',
    ])
  })

  it('that ends before it begins, or as it begins, is refused, and a day later is taken', () => {
    expect(pointers(alone({ '/effectiveUntil': '2018-12-31' }))).toEqual(['/effectiveUntil'])
    expect(pointers(alone({ '/effectiveUntil': '2019-01-01' }))).toEqual(['/effectiveUntil'])
    expect(alone({ '/effectiveUntil': '2019-01-02' })).toEqual([])
  })

  it('that is its own parent is refused', () => {
    expect(pointers(alone({ '/parent': 'US' }))).toEqual(['/parent'])
  })

  it('with a rule from a document it does not name, or without a clause, is refused', () => {
    expect(alone({ '/rules/fromHeatCm/instrument': 'folklore' })).toEqual([
      ['/rules/fromHeatCm/instrument', expect.stringContaining('no such instrument: folklore. Add it to /instruments')],
    ])
    expect(alone({ '/uses/school/levels/0/clause': ' ' })).toEqual([
      ['/uses/school/levels/0/clause', expect.stringContaining('a rule without a source')],
    ])
  })

  it('with a level of gas in working levels is refused', () => {
    expect(pointers(alone({ '/rules/levels/0/unit': 'WL' }))).toEqual(['/rules/levels/0/unit'])
  })
})

describe('the bands of a rule set', () => {
  const value = '/rules/tiers/1/value'
  it('rise: one as high as the band before it, or lower, is refused', () => {
    expect(alone({ [value]: '2.0' })).toEqual([[value, expect.stringContaining('the same band')]])
    expect(alone({ [value]: '1.9' })).toEqual([[value, expect.stringContaining('List the bands from the lowest')]])
    expect(alone({ [value]: '2.1' })).toEqual([])
  })
  it('are held against each other across units', () => {
    const inBecquerels = (text: string) => ({ [value]: text, '/rules/tiers/1/unit': 'Bq/m3' })
    expect(pointers(alone(inBecquerels('74')))).toEqual([value])
    expect(alone(inBecquerels('75'))).toEqual([])
  })
  it('never ask for less, or give more time, the higher they are', () => {
    expect(pointers(alone({ '/rules/tiers/2/asks': 'consider-mitigation' }))).toEqual(['/rules/tiers/2/asks'])
    const deadlines = (low: string, high: string) =>
      pointers(alone({ '/rules/tiers/1/deadline': low, '/rules/tiers/2/deadline': high }))
    expect(deadlines('P1Y', 'P13M')).toEqual(['/rules/tiers/2/deadline'])
    expect(deadlines('P1Y', 'P12M')).toEqual([])
  })
  it('ask for mitigation from the level on, not below it', () => {
    expect(pointers(folded({ [value]: '3.9' }))).toEqual(['/rules/tiers'])
    expect(folded({ [value]: '4.0' })).toEqual([])
  })
})

describe('the levels of a rule set', () => {
  const withLevels = (...years: readonly (readonly [number | null, number | null])[]) => {
    const [level] = us.rules.levels!
    const more = years.map(([builtFrom, builtUntil]) => ({ ...level, builtFrom, builtUntil }))
    return pointers(alone({ '/rules/levels': [level, ...more] }))
  }
  it('differ by the years of building, which neither run backwards nor overlap', () => {
    expect(withLevels([2010, 2009])).toEqual(['/rules/levels/1/builtUntil'])
    expect(withLevels([2010, 2010])).toEqual([])
    expect(withLevels([null, 2010], [2010, null])).toEqual(['/rules/levels/2'])
    expect(withLevels([null, 2009], [2010, null])).toEqual([])
  })
  it('are one for all other buildings', () => {
    expect(withLevels([null, null])).toEqual(['/rules/levels/1'])
  })
})

describe('the rules for tests', () => {
  it.each([
    ['minimumHeightCm', { '/rules/maximumHeightCm': { ...us.rules.minimumHeightCm, value: 49 } }, 50],
    ['minimumHours', { '/rules/longTermHours/value': 47 }, 48],
    ['usableHours', { '/rules/usableHours/value': 45 }, 44],
    ['urgentFollowUpWithin', { '/rules/urgentFollowUpWithin/value': 'P91D' }, 'P90D'],
    ['postMitigationEarliestHours', { '/rules/postMitigationEarliestHours/value': 721 }, 720],
  ])('whose %s is beyond the other end are refused, and taken at it', (rule, changes, enough) => {
    const [[pointer]] = Object.entries(changes) as [[string, unknown]]
    expect(pointers(folded(changes))).toEqual([`/rules/${rule}`])
    const taken = pointer.endsWith('/value') ? enough : { ...us.rules.minimumHeightCm, value: enough }
    expect(folded({ [pointer]: taken })).toEqual([])
  })

  it.each([
    ['closedBeforeHours', 'closedBeforeUnderHours'],
    ['fanRunningHours', 'fanRunningUnderHours'],
    ['urgentFollowUpFactor', 'urgentFollowUpWithin'],
    ['retestAfterEvents', 'retestAfterEventWithin'],
  ])('that say %s and not %s are refused, either way round', (one, other) => {
    expect(folded({ [`/rules/${other}`]: null })).toEqual([
      [`/rules/${one}`, `says nothing without ${other}. State ${other} too, or take this away.`],
    ])
    expect(pointers(folded({ [`/rules/${one}`]: null }))).toEqual([`/rules/${other}`])
    expect(folded({ [`/rules/${one}`]: null, [`/rules/${other}`]: null })).toEqual([])
  })

  it('that are out of control before they warn, or say two things of one pair, are refused', () => {
    const bands = us.rules.pairDifference!.value
    const pairs = '/rules/pairDifference/value'
    const first = { ...bands[0]!, warnsAtPercent: 67 }
    expect(pointers(alone({ [pairs]: [first, bands[1]] }))).toEqual([`${pairs}/0/controlAtPercent`])
    expect(alone({ [pairs]: [{ ...first, warnsAtPercent: 66 }, bands[1]] })).toEqual([])
    expect(pointers(alone({ [pairs]: [...bands, bands[0]] }))).toEqual([`${pairs}/2`])
  })

  it('with two factors for one month and length, or a reminder twice, are refused', () => {
    const origin = { instrument: 'practice', clause: 'invented', status: 'unverified' }
    const factors = (...months: number[]) => ({
      ...origin,
      value: months.map(startMonth => ({ startMonth, months: 3, factor: '0.9' })),
    })
    expect(pointers(alone({ '/rules/seasonalFactors': factors(1, 2, 1) }))).toEqual(['/rules/seasonalFactors/value/2'])
    expect(alone({ '/rules/seasonalFactors': factors(1, 2, 3) })).toEqual([])
    const ladder = (...days: number[]) => ({ ...origin, value: { days, at: '10:00' } })
    expect(pointers(alone({ '/rules/reminderLadder': ladder(-7, 14, -7) }))).toEqual([
      '/rules/reminderLadder/value/days/2',
    ])
    expect(alone({ '/rules/reminderLadder': ladder(-7, 14, 7) })).toEqual([])
  })

  it('that round in another unit than the level’s, or leave open what decides, are refused', () => {
    expect(pointers(folded({ '/rules/rounding/value/unit': 'Bq/m3' }))).toEqual(['/rules/rounding'])
    expect(pointers(folded({ '/rules/decidedBy': null }))).toEqual(['/rules/decidedBy'])
    expect(pointers(folded({ '/rules/decidedBy/value': 'long-term', '/rules/longTermHours': null }))).toEqual([
      '/rules/longTermHours',
    ])
  })

  it('of one use of a building are pointed to there', () => {
    const usable = { ...us.rules.usableHours, value: 47 }
    expect(pointers(folded({ '/uses/school/usableHours': usable }))).toEqual(['/uses/school/usableHours'])
  })
})

describe('versions of rule sets together', () => {
  const child = (over: Partial<Policy>): Policy => ({ ...us, rules: {}, uses: {}, parent: 'US', ...over })
  const between = (...more: readonly Policy[]) => {
    const read = policiesFrom([...seededPolicies, ...more])
    return read.ok ? [] : read.problems.map(({ version, path, reason }) => `${version} ${path}: ${reason}`)
  }
  const texas = (over: Partial<Policy> = {}) => child({ code: 'US-TX', jurisdiction: 'US-TX', ...over })

  it('name a parent that is there', () => {
    expect(between(texas())).toEqual([])
    expect(between(texas({ parent: 'USA' }))).toEqual(['US-TX@2019-01-01 /parent: no such rule set: USA'])
  })
  it('do not go round in a circle, not even by an earlier version of a parent', () => {
    const ring = [texas({ parent: 'US-DX' }), child({ code: 'US-DX', jurisdiction: 'US-DX', parent: 'US-TX' })]
    expect(between(...ring)).toContain('US-TX@2019-01-01 /parent: a circle of parents: US-TX → US-DX → US-TX')
    expect(between({ ...who, effectiveFrom: '2030-01-01', parent: 'GB' })).toContain(
      'WHO@2030-01-01 /parent: a circle of parents: WHO → GB → WHO',
    )
  })
  it('do not overlap: the next begins on the day the one before says it ends, or later', () => {
    const ending = texas({ effectiveUntil: '2025-01-01' })
    const next = (effectiveFrom: string) => texas({ effectiveFrom })
    expect(between(ending, next('2024-12-31'))).toHaveLength(1)
    expect(between(ending, next('2024-12-31'))[0]).toContain('US-TX@2024-12-31 /effectiveFrom: begins on 2024-12-31')
    expect(between(ending, next('2025-01-01'))).toEqual([])
    expect(between(texas(), next('2024-12-31'))).toEqual([])
    expect(between(texas(), texas({ title: 'Another' }))).toEqual([
      'US-TX@2019-01-01 /effectiveFrom: another version of it begins on the same day',
    ])
  })
  it('are one rule set a place', () => {
    expect(between(texas({ jurisdiction: 'US' }))).toEqual([
      'US-TX@2019-01-01 /jurisdiction: US already has the rule set US',
    ])
  })
  it('are held together: a later parent that contradicts its child is refused, and the child is named', () => {
    const { levels, tiers } = us.rules
    const low = texas({ rules: { tiers: tiers!.filter(({ asks }) => asks === 'mitigation') } })
    const parent = { ...us, effectiveFrom: '2030-01-01' }
    expect(between(low, parent)).toEqual([])
    const raised = {
      ...parent,
      rules: { ...us.rules, levels: levels!.map(level => ({ ...level, value: '6.0' })), tiers: [] },
    }
    expect(between(low, raised)).toEqual([
      'US-TX@2019-01-01 /rules/tiers: asks for mitigation from 4.0 pCi/L, below the level of 6.0 pCi/L',
    ])
  })
})
