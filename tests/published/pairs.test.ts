import { describe, expect, it } from 'vitest'
import type { ExposureFacts, RadonUnit } from '../../src/domain/facts.ts'
import { evaluateTest } from '../../src/domain/measurement/evaluate-test.ts'
import { agreementOf, pairsOf } from '../../src/domain/measurement/pairs.ts'
import { fixedText } from '../../src/domain/quantity/print-exact.ts'
import { lawOf } from '../support/laws.ts'
import { anExposure, aTest } from '../support/test-facts.ts'

const context = { policy: lawOf('US'), zone: 'America/Chicago', systems: [] }

const device = (id: string, value: string, unit: RadonUnit = 'pCi/L', role: ExposureFacts['role'] = 'measurement') =>
  anExposure({ id, role, pairKey: 'a', result: { value, unit, qualifier: '=', uncertainty: null } })

const evaluatedPair = (a: string, b: string, unit: RadonUnit = 'pCi/L') =>
  evaluateTest(aTest({ exposures: [device('1', a, unit), device('2', b, unit, 'duplicate')] }), context)

const pairOf = (a: string, b: string) => pairsOf(evaluatedPair(a, b).exposures)[0]!
const agreement = (a: string, b: string) => agreementOf(pairOf(a, b), context.policy.rules)

describe('collocated pairs', () => {
  // environment-database.eu, glossary: relative percent difference and coefficient of variation of duplicates. Of two
  // values the second is the first over the square root of two.
  it.each([
    ['8', '9', '12', 8],
    ['13', '15', '14', 10],
    ['17', '20', '16', 11],
    ['26', '30', '14', 10],
  ])('of %s and %s pCi/L differ by %s %% and vary by %i %%, as published', (a, b, percent, variation) => {
    const difference = agreement(a, b).percent!
    expect(fixedText(difference, 0)).toBe(percent)
    expect(Math.round(difference.valueOf() / Math.SQRT2)).toBe(variation)
  })

  // MAH-2019 8.5.2 (reporting to one decimal) against the EPA action level of 4.0 pCi/L
  it.each([
    ['3.9', '4.0', '3.95', 'at-or-above'],
    ['3.8', '4.1', '3.95', 'at-or-above'],
    ['3.8', '4.0', '3.9', 'below'],
  ])('of %s and %s average %s exactly: %s', (a, b, mean, outcome) => {
    const test = evaluatedPair(a, b)
    expect(test.workings[0]!.lines[0]!.right).toBe(`${mean} pCi/L`)
    expect(test.outcome).toBe(outcome)
  })

  // MAH-2019 7.2.2: one above, one below, the higher twice the lower or more
  it('of 3.0 and 6.0 disagree, of 3.1 and 6.0 do not', () => {
    expect(evaluatedPair('3.0', '6.0').outcome).toBe('disagreement')
    expect(fixedText(agreement('3.0', '6.0').percent!, 2)).toBe('66.67')
    expect(evaluatedPair('3.1', '6.0').outcome).toBe('at-or-above')
    expect(evaluatedPair('4.0', '9.0').outcome).toBe('at-or-above')
  })

  // ANSI/AARST MS-QA 2019, 3.5 and table 7.1
  it.each([
    ['in-control', '86.1', '113.9'],
    ['warning', '86', '114'],
    ['warning', '82.1', '117.9'],
    ['out-of-control', '82', '118'],
    ['in-control', '2.26', '3.74'],
    ['warning', '2.25', '3.75'],
    ['warning', '2.0', '4.0'],
    ['out-of-control', '1.99', '4.01'],
    ['in-control', '1.0', '2.0'],
    ['out-of-control', '1.0', '2.1'],
  ])('are %s at %s and %s', (grade, a, b) => {
    expect(agreement(a, b).grade).toBe(grade)
  })

  it('average across units exactly', () => {
    const test = evaluateTest(
      aTest({ exposures: [device('1', '4.0'), device('2', '148', 'Bq/m3', 'duplicate')] }),
      context,
    )
    expect(test.workings[0]!.lines[0]!.right).toBe('4 pCi/L')
  })

  it('out of control are told and do not invalidate', () => {
    const test = evaluatedPair('5.0', '9.0')
    expect(test.findings.map(({ code, effect }) => [code, effect])).toEqual([['pair-out-of-control', 'warns']])
    expect(test.validity).toBe('valid-with-notes')
  })
})
