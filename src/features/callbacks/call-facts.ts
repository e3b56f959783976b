import type { LocalDay } from '../../domain/facts.ts'
import type { CallFacts } from '../../domain/first-questions/call-facts.ts'
import { fanAgeOn } from '../../domain/first-questions/fan-age.ts'
import type { CallSystem } from './call-queries.ts'

/** What the first questions go by: one system of the home, or that none is on record. */
export function callFactsOf(system: CallSystem | undefined, zone: string, today: LocalDay): CallFacts {
  if (!system) return { system: 'none', gauge: false, startUp: null, fanAge: null }
  const { gauge, startUp, fan } = system
  return {
    system: system.active || fan ? 'with-fan' : 'passive',
    gauge,
    startUp: startUp && { value: startUp.value, unit: startUp.unit, role: startUp.role },
    fanAge: fan && fanAgeOn(today, fan.installed, zone),
  }
}
