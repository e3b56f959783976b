import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { ruleGroupSchema } from '../../../src/domain/policy/policy-schema.ts'
import { rulesInOrder } from '../../../src/features/policies/rule-words.ts'
import type { Person } from '../../support/actors.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let crew: Person

beforeAll(async () => {
  service = await buildTestApp()
  crew = await service.as.crew()
})
afterAll(() => service.close())

/** The cells of the row whose first cell holds `name`. */
function row(html: string, name: string): string[] {
  const found = [...html.matchAll(/<tr>(.*?)<\/tr>/gs)].map(([, cells]) =>
    [...cells!.matchAll(/<t[dh][^>]*>(.*?)<\/t[dh]>/gs)].map(([, cell]) => cell!.replaceAll(/<[^>]+>/g, '').trim()),
  )
  return found.find(([first]) => first?.includes(name)) ?? []
}

describe('the rules on screen', () => {
  it('have words for every rule that a rule set can hold', () => {
    const known = Object.keys(ruleGroupSchema.shape).filter(name => name !== 'levels' && name !== 'tiers')
    expect([...rulesInOrder].sort()).toEqual(known.sort())
  })

  it('say on the first page which level homes are held against, and from where a state takes it', async () => {
    const { text } = await crew.get('/rules')
    expect(row(text, 'United States: EPA guidance')[2]).toBe('at or above 4.0 pCi/L')
    expect(row(text, 'World Health Organization')[2]).toBe('above 100 Bq/m³')
    expect(text).toContain('by the version in force on the day it ended')
  })

  it('say each rule with its unit, the document it stands in and whether that was read', async () => {
    const { text } = await crew.get('/rules/US')
    expect(row(text, 'EPA action level')).toEqual([
      'EPA action level',
      expect.stringMatching(/^at or above 4\.0 pCi\/L, recommended; held against /),
      expect.stringMatching(/^EPA, A Citizen.*Guide to Radon \(402\/K-12\/002\) \(2016\), /),
      'checked',
    ])
    expect(row(text, 'From heat')[1]).toBe('120 cm or more')
    expect(row(text, 'Rounding before')[1]).toBe('to 1 decimal of pCi/L, half up')
    expect(row(text, 'Mitigation')[3]).toBe('unverified')
    expect(text).toContain('read the document before you rely on it')
    // Names of fields are for programs.
    expect(text).not.toMatch(/half-up|short-term-confirmed|[a-z]-cm\b| cm 1/)
  })
})
