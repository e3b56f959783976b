import type { LocalDay } from '../../domain/facts.ts'
import type { CallFacts } from '../../domain/first-questions/call-facts.ts'
import { fanAgeOn } from '../../domain/first-questions/fan-age.ts'
import { baselineOf } from '../../standing/baseline.ts'
import type { CallSystem } from './call-queries.ts'

/** What the first questions go by: one system of the home, or that none is on record. */
export function callFactsOf(system: CallSystem | undefined, zone: string, today: LocalDay): CallFacts {
  if (!system) return { system: 'none', gauge: false, baseline: null, fanAge: null }
  const { gauge, baseline, fan } = system
  return {
    system: system.active || fan ? 'with-fan' : 'passive',
    gauge,
    baseline: baseline && baselineOf(baseline, zone),
    fanAge: fan && fanAgeOn(today, fan.installed, zone),
  }
}
