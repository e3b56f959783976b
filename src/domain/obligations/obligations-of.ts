import type { Obligation } from '../answers.ts'
import { deviceDuties } from './device-duties.ts'
import type { DutyContext } from './duties.ts'
import { mitigationDuties } from './mitigation-duties.ts'
import { coalesced, owed } from './owed.ts'
import { testDuties } from './test-duties.ts'

/** What is owed for a home next, by due day: absolute days and instants, whatever the time is now. */
export function obligationsOf(context: DutyContext): readonly Obligation[] {
  const duties = [...testDuties(context), ...mitigationDuties(context), ...deviceDuties(context)]
  return coalesced(duties.map(duty => owed(duty, { zone: context.home.zone, law: context.law })))
}
