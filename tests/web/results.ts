import type { Finding, LevelRef, RuleRef, Verdict } from '../../src/domain/answers.ts'
import type { SeriesFacts } from '../../src/domain/facts.ts'
import type { RecordFacts } from '../../src/web/chart/record-facts.ts'

export const zone = 'America/Chicago'
export const today = '2026-03-20'
const hour = 3_600_000
export const recordStart = Date.parse('2026-03-02T20:00:00Z')

export const level: LevelRef = { label: 'action level', value: '4.0', unit: 'pCi/L', operator: '>=', binding: false }
export const rule: RuleRef = {
  policyCode: 'US',
  policyFrom: '2019-01-01',
  rule: 'level',
  instrument: 'Protocols for radon in homes',
  clause: 'section 2.1',
  year: 2019,
  status: 'unverified',
}

export const verdict: Verdict = {
  outcome: 'at-or-above',
  reason: null,
  settledBy: null,
  level,
  tier: null,
  compared: { value: '4.1', unit: 'pCi/L', qualifier: '=' },
  testIds: ['test-1'],
  perLocation: [],
  working: {
    title: 'the mean of two tests against the action level',
    inputs: [
      { label: 'First test', value: '3.9 pCi/L' },
      { label: 'Second test', value: '159 Bq/m3' },
    ],
    lines: [
      { left: '159 Bq/m3', relation: '=', right: '4.297 pCi/L', note: '1 pCi/L = 37 Bq/m3' },
      { left: '(3.9 + 4.297) / 2', relation: '→', right: '4.1 pCi/L', note: 'rounded once, half up, to 1 decimal' },
      { left: '4.1 pCi/L', relation: '≥', right: '4.0 pCi/L', note: null },
    ],
    rule,
    outcome: 'at or above the level of 4.0 pCi/L',
  },
}

export const findings: readonly Finding[] = [
  {
    code: 'closed-before',
    exposureId: null,
    at: recordStart,
    allowed: 'at least 12 hours closed before a test of under 96 hours',
    found: 'closed for 9 hours',
    effect: 'invalidates',
    rule,
  },
  {
    code: 'height',
    exposureId: null,
    at: null,
    allowed: 'at least 50 cm above the floor',
    found: '42 cm',
    effect: 'warns',
    rule: null,
  },
]

export const series: SeriesFacts = {
  startAt: recordStart,
  intervalS: 3600,
  unit: 'pCi/L',
  scale: 1,
  values: Array.from({ length: 68 }, (_, index) =>
    index === 50
      ? null
      : Math.round(31 + 14 * Math.sin(index / 4.1) + ((index * 7) % 9)) - (index < 4 ? 16 - index * 4 : 0),
  ),
  offsetsS: [],
  deviceCorrectedFirstHours: false,
}

export const record: RecordFacts = {
  series,
  zone,
  room: 'the family room',
  level,
  rule,
  leftOut: [
    { from: recordStart, to: recordStart + 4 * hour, why: 'equilibrium' },
    { from: recordStart + 50 * hour, to: recordStart + 51 * hour, why: 'gap' },
  ],
  mean: '3.6',
  usableFrom: recordStart + 4 * hour,
  usableTo: recordStart + 68 * hour,
}
