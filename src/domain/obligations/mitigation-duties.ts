import type { Period } from '../calendar/day-sums.ts'
import type { Rule } from '../policy/resolved-policy.ts'
import { tierOf } from '../verdict/compare-with-level.ts'
import type { Decision } from '../verdict/decide-location.ts'
import { type DutyContext, lastReading } from './duties.ts'
import type { Duty } from './owed.ts'

/** A home at or above its level is to be mitigated; one with a system already, again. */
export function mitigationDuties({ home, law, mitigated, decision }: DutyContext): readonly Duty[] {
  const within = decision && mitigateWithin(decision, law)
  if (!decision || !within || decision.outcome !== 'at-or-above') return []
  const { testId, stopOn } = lastReading(decision)
  const byUs = home.systems.some(system => system.installedBy === 'us')
  return [
    {
      kind: mitigated ? 'further-mitigation' : 'mitigation',
      causeId: testId,
      countedFrom: stopOn,
      event: 'Test ended',
      within,
      earliestOn: null,
      owedBy: mitigated && byUs ? 'company' : 'homeowner',
      recommended: !decision.level.binding,
      reason: `a result ${decision.level.operator === '>=' ? 'at or above' : 'above'} ${decision.level.value} ${decision.level.unit}`,
    },
  ]
}

function mitigateWithin(decision: Decision, law: DutyContext['law']): Rule<Period> | null {
  const tier = tierOf(decision.figure, law)
  if (tier?.asks === 'mitigation' && tier.deadline !== null) return { value: tier.deadline, ref: tier.ref }
  return law.rules.mitigateWithin ?? null
}
