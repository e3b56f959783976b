import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { loadDemo } from '../../seed/load-demo.ts'
import { reasonWords } from '../../src/domain/verdict/verdict-words.ts'
import { verdictOutcome } from '../../src/features/properties/schemas.ts'
import { testPurpose } from '../../src/features/tests/schemas.ts'
import { evaluatedTestOut, standingOut } from '../../src/standing/answer-schemas.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'

let app: TestApp
// biome-ignore lint/suspicious/noExplicitAny: as the API answers it
let standings: readonly any[]

beforeAll(async () => {
  app = await buildTestApp({ at: '2026-11-25T15:00:00Z', empty: true })
  await loadDemo(app.db, app.clock)
  const program = await app.as.app()
  const { body } = await program.get('/v1/properties?limit=200').expect(200)
  standings = await Promise.all(
    body.items.map(async ({ id }: { id: string }) => (await program.get(`/v1/properties/${id}/standing`)).body),
  )
})
afterAll(() => app.close())

const tests = () => standings.flatMap(standing => standing.tests)
const kinds = {
  outcome: [verdictOutcome.options, () => standings.map(({ verdict }) => verdict.outcome)],
  'reason for being undetermined': [Object.keys(reasonWords), () => standings.map(({ verdict }) => verdict.reason)],
  'state of a system': [standingOut.shape.system.options, () => standings.map(({ system }) => system)],
  'purpose of a test': [testPurpose.options, () => tests().map(({ purpose }) => purpose)],
  'validity of a test': [
    evaluatedTestOut.shape.validity.unwrap().options,
    () => tests().map(({ validity }) => validity),
  ],
} as const satisfies Record<string, readonly [readonly string[], () => readonly unknown[]]>

describe('the demo', () => {
  for (const [kind, [all, shown]] of Object.entries(kinds))
    it.each(all)(`has a home with each ${kind}: %s`, one => {
      expect(new Set(shown())).toContain(one)
    })

  it('stands in four jurisdictions and reaches back more than eight years', () => {
    expect(new Set(standings.map(({ jurisdiction }) => jurisdiction.slice(0, 2)))).toEqual(
      new Set(['US', 'CA', 'GB', 'NZ']),
    )
    const first = Math.min(
      ...tests()
        .map(({ startAt }) => Date.parse(startAt))
        .filter(Number.isFinite),
    )
    expect(app.clock.now() - first).toBeGreaterThan(8 * 365 * 86_400_000)
  })

  it('owes nothing that could not be owed: a due day, a reason and whom it concerns', () => {
    const owed = standings.flatMap(({ obligations }) => obligations)
    expect(owed.length).toBeGreaterThan(10)
    for (const { dueOn, because, owedBy } of owed) {
      expect(dueOn).toMatch(/^\d{4}-\d{2}-\d{2}$/)
      expect(because.length).toBeGreaterThan(0)
      expect(['homeowner', 'company']).toContain(owedBy)
    }
    expect(new Set(owed.map(({ owedBy }) => owedBy))).toEqual(new Set(['homeowner', 'company']))
  })
})
