import type { EvaluatedTest } from '../../src/domain/answers.ts'
import type { HomeFacts } from '../../src/domain/facts.ts'
import { standingOf } from '../../src/domain/standing/standing-of.ts'
import { aTest, policies } from '../../tests/support/homes.ts'
import type { Finding } from '../rig/finding.ts'
import { coreTimeOf, ratioOf, rounds } from '../rig/rounds.ts'
import { spreadOf } from '../rig/spread.ts'
import { tenYearHome } from '../rig/ten-year-home.ts'

const now = Date.parse('2026-02-02T15:00:00Z')
const times = 5_000
const evaluationsOf = (home: HomeFacts): ReadonlyMap<string, EvaluatedTest> =>
  new Map(standingOf(home, policies, now).tests.map(test => [test.testId, test]))

const repeated = (count: number, work: () => unknown) =>
  coreTimeOf(() => {
    for (let i = 0; i < count; i++) work()
  })

/** The reckoning alone, of a ten-year home whose tests have been evaluated; and how it grows with a home's facts. */
export async function standing(): Promise<Finding[]> {
  const home = tenYearHome()
  const kept = evaluationsOf(home)
  const written = JSON.stringify({ home, kept: [...kept] })
  const of = (tests: number) => {
    const many = tenYearHome({ tests: Array.from({ length: tests }, (_, i) => monthlyTest(i)) })
    const evaluated = evaluationsOf(many)
    return repeated(Math.ceil(20_000 / tests), () => standingOf(many, policies, now, evaluated))
  }
  const took = await rounds({
    ours: repeated(times, () => standingOf(home, policies, now, kept)),
    evaluating: repeated(times / 5, () => standingOf(home, policies, now)),
    parsing: repeated(times, () => JSON.parse(written)),
    ten: of(10),
    thousand: of(1000),
  })
  const perSecond = spreadOf(took.ours.map(ms => (times * 1000) / ms))
  const all = spreadOf(took.evaluating.map(ms => (times * 200) / ms))
  return [
    {
      row: 'P09',
      what: 'standingOf, ten-year home',
      against: '–',
      figure: perSecond,
      unit: '/s and core',
      aim: { atLeast: 20_000 },
    },
    {
      row: 'P09',
      what: 'standingOf',
      against: 'JSON.parse of its facts and evaluations',
      figure: ratioOf(took.ours, took.parsing),
      aim: { atMost: 5 },
      note: `with its ${home.tests.length} tests evaluated anew ${all.median.toFixed(0)}/s`,
    },
    {
      row: 'P09',
      what: 'per test at 1,000 tests',
      against: 'at 10 tests',
      figure: ratioOf(took.thousand, took.ten),
      aim: { atMost: 1.2 },
    },
  ]
}

const monthlyTest = (i: number) =>
  aTest(`test-${i}`, new Date(Date.UTC(1940, i, 12, 15)).toISOString(), `${(1 + (i % 20) / 10).toFixed(1)} pCi/L`)
