import { describe, expect, it } from 'vitest'
import { localDayOf } from '../../src/domain/calendar/local-day.ts'
import type {
  BuildingUse,
  ExposureFacts,
  PlacementFacts,
  RadonUnit,
  SystemFacts,
  TestFacts,
} from '../../src/domain/facts.ts'
import { evaluateTest } from '../../src/domain/measurement/evaluate-test.ts'
import { buildingUses, testMethods } from '../../src/domain/policy/policy-schema.ts'
import type { ResolvedPolicy } from '../../src/domain/policy/resolved-policy.ts'
import { exact } from '../../src/domain/quantity/exact.ts'
import { figureOf } from '../../src/domain/quantity/figure.ts'
import { exactText } from '../../src/domain/quantity/print-exact.ts'
import { compareWithLevel, tierOf } from '../../src/domain/verdict/compare-with-level.ts'
import { lawOf } from '../support/laws.ts'
import { anExposure, aRecording, aSystem, aTest, HOUR, hourly, SET_AT } from '../support/test-facts.ts'

// Every limit that the shipped rule sets state, read from their data: what lies on the limit, and a minute, a centimetre
// or a thousandth beyond it.
const places: readonly (readonly [string, string])[] = [
  ['US', '2026-11-25'],
  ['US', '2010-01-01'],
  ['US-PA', '2026-11-25'],
  ['US-IL', '2026-11-25'],
  ['CA', '2026-11-25'],
  ['GB', '2026-11-25'],
  ['GB', '2015-01-01'],
  ['NZ', '2026-11-25'],
]
const laws = new Map<string, ResolvedPolicy>()
for (const [jurisdiction, day] of places) {
  for (const use of buildingUses as readonly BuildingUse[]) {
    laws.set(`in ${jurisdiction} on ${day}, ${use}`, lawOf(jurisdiction, use, day))
  }
}

const MINUTE = HOUR / 60
const lasting = (hours: number, over: Partial<ExposureFacts> = {}) =>
  anExposure({
    stopAt: SET_AT + hours * HOUR,
    calibrations: [{ calibratedOn: '2025-01-01', validUntil: '2027-12-31' }],
    lotExpiresOn: '2027-12-31',
    ...over,
  })
const codesOf = (policy: ResolvedPolicy, over: Partial<TestFacts>, systems: readonly SystemFacts[] = []) =>
  evaluateTest(aTest(over), { policy, zone: 'America/Chicago', systems }).findings.map(
    ({ code, effect }) => `${code} ${effect}`,
  )
const varied = (i: number) => 20 + (i % 5)

describe.each([...laws])('%s', (_place, law) => {
  const { rules } = law
  const shortest = rules.minimumHours?.value['continuous-monitor'] ?? 48

  it.each(testMethods)('a test by %s is long enough at its shortest and not a minute before', method => {
    const least = rules.minimumHours?.value[method]
    expect(least).toBeGreaterThan(0)
    const codes = (hours: number) => codesOf(law, { method, exposures: [lasting(hours)] })
    expect(codes(least!)).not.toContain('duration invalidates')
    expect(codes(least! - 1 / 60)).toContain('duration invalidates')
  })

  it('a test is long-term from its hours on and not a minute before', () => {
    const from = rules.longTermHours!.value
    const term = (hours: number) =>
      evaluateTest(aTest({ exposures: [lasting(hours)] }), { policy: law, zone: 'UTC', systems: [] }).term
    expect([term(from), term(from - 1 / 60)]).toEqual(['long', 'short'])
  })

  it('a monitor is in calibration to the day the test ends and not a day less', () => {
    const last = localDayOf(SET_AT + shortest * HOUR - 1, 'America/Chicago')
    const before = localDayOf(SET_AT + shortest * HOUR - 1 - 24 * HOUR, 'America/Chicago')
    const codes = (validUntil: string) =>
      codesOf(law, { exposures: [lasting(shortest, { calibrations: [{ calibratedOn: '2025-01-01', validUntil }] })] })
    expect(codes(last)).not.toContain('calibration invalidates')
    expect(codes(before)).toContain('calibration invalidates')
  })

  if (rules.closedBeforeHours)
    it('the house is closed long enough before a short test, or a minute too late', () => {
      const codes = (hoursBefore: number, hours: number) =>
        codesOf(law, { closedSince: SET_AT - hoursBefore * HOUR, exposures: [lasting(hours)] })
      const before = rules.closedBeforeHours!.value
      const under = rules.closedBeforeUnderHours!.value
      expect(codes(before, shortest)).not.toContain('closed-before invalidates')
      expect(codes(before - 1 / 60, shortest)).toContain('closed-before invalidates')
      expect(codes(before - 1 / 60, under)).not.toContain('closed-before invalidates')
    })

  if (rules.closedDuringUpToHours)
    it('the house is kept closed through tests up to a length, and beyond it need not', () => {
      const upTo = rules.closedDuringUpToHours!.value
      const codes = (length: number) =>
        codesOf(law, { closedDuring: 'no', exposures: [lasting(0, { stopAt: SET_AT + length })] })
      expect(codes(upTo * HOUR)).toContain('closed-during invalidates')
      expect(codes(upTo * HOUR + MINUTE)).not.toContain('closed-during invalidates')
    })

  if (rules.fanRunningHours)
    it('the fan runs long enough before a short test, or a minute too short', () => {
      const codes = (hoursBefore: number, hours: number) =>
        codesOf(law, { purpose: 'post-mitigation', exposures: [lasting(hours)] }, [
          aSystem([['first-start', SET_AT - hoursBefore * HOUR]]),
        ])
      const before = rules.fanRunningHours!.value
      const under = rules.fanRunningUnderHours!.value
      expect(codes(before, shortest)).not.toContain('fan-running invalidates')
      expect(codes(before - 1 / 60, shortest)).toContain('fan-running invalidates')
      expect(codes(before - 1 / 60, under)).not.toContain('fan-running invalidates')
    })

  if (rules.severeWeatherUnderHours)
    it('severe weather matters to tests under a length and not from it on', () => {
      const under = rules.severeWeatherUnderHours!.value
      const codes = (hours: number) => codesOf(law, { severeWeather: 'yes', exposures: [lasting(hours)] })
      expect(codes(under - 1 / 60)).toContain('severe-weather invalidates')
      expect(codes(under)).not.toContain('severe-weather invalidates')
    })

  if (rules.usableHours)
    it('a monitor’s hours hang together long enough, or an hour too few', () => {
      const first = rules.equilibriumHours?.value ?? 0
      const codes = (usable: number) => {
        const broken = (i: number) => (i === first + usable ? null : varied(i))
        const series = hourly(2 * (first + usable), broken)
        const shortSecondHalf = { ...series, values: series.values.slice(0, first + usable + 2) }
        return codesOf(law, { exposures: [aRecording(shortSecondHalf, { calibrations: lasting(1).calibrations })] })
      }
      expect(codes(rules.usableHours!.value)).not.toContain('contiguous-hours invalidates')
      expect(codes(rules.usableHours!.value)).toContain('gap warns')
      expect(codes(rules.usableHours!.value - 1)).toContain('contiguous-hours invalidates')
    })

  it.each([
    ['minimumHeightCm', 'heightCm', 'height', -1],
    ['maximumHeightCm', 'heightCm', 'height', 1],
    ['fromOpeningCm', 'fromOpeningCm', 'from-opening', -1],
    ['fromExteriorWallCm', 'fromExteriorWallCm', 'from-exterior-wall', -1],
    ['fromHeatCm', 'fromHeatCm', 'from-heat', -1],
    ['fromObjectCm', 'fromObjectCm', 'from-object', -1],
  ] as const)(
    '%s is in order on the limit, told a centimetre beyond, and not asked after where no rule says so',
    (name, fact, code, beyond) => {
      const limit = rules[name]?.value
      const codes = (value: number) => {
        const placement: PlacementFacts = { ...anExposure().placement, [fact]: value }
        return codesOf(law, { exposures: [lasting(shortest, { placement })] })
      }
      if (limit !== undefined) expect(codes(limit)).not.toContain(`${code} warns`)
      expect(codes((limit ?? 0) + (limit === undefined ? 0 : beyond)).includes(`${code} warns`)).toBe(
        limit !== undefined || (name === 'maximumHeightCm' && rules.minimumHeightCm !== undefined),
      )
    },
  )

  it('a result is over its level, and in its bands, from the limit on or only beyond it, as the document words it', () => {
    const at = (value: string, unit: RadonUnit) => figureOf({ value, unit, qualifier: '=' })
    const level = law.level!
    const decimals = rules.rounding?.value.decimals
    const step = exact(decimals === undefined ? '0.001' : '0.05')
    const unit = level.unit as RadonUnit
    const over = (value: string) => compareWithLevel(at(value, unit), law)?.outcome === 'over'
    const limit = exact(level.value)
    const [below, above] = [exactText(limit.sub(step).sub(exact('0.001'))), exactText(limit.add(step))]
    expect([over(below), over(level.value), over(above)]).toEqual([false, level.operator === '>=', true])
    for (const tier of law.tiers) {
      const beyond = exact(tier.value).add(step)
      const reached = (value: string) => (tierOf(at(value, tier.unit), law) ?? { value: '0' }).value
      expect(reached(exactText(beyond))).toBe(tier.value)
      expect(reached(tier.value) === tier.value).toBe(tier.operator === '>=')
    }
  })
})
