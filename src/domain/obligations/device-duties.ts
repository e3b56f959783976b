import type { EvaluatedTest } from '../answers.ts'
import { localDayOf } from '../calendar/local-day.ts'
import type { TestFacts, TestMethod } from '../facts.ts'
import type { DutyContext } from './duties.ts'
import type { Duty } from './owed.ts'

const hourMs = 3_600_000

/** Devices to pick up and results to wait for: the company's own lines of the day. */
export function deviceDuties({ home, law, underWay, checks }: DutyContext): readonly Duty[] {
  return [...underWay, ...checks].flatMap(test => {
    const facts = home.tests.find(({ id }) => id === test.testId)
    if (!facts) return []
    return (test.stage === 'set' ? pickUp(test, facts, home.zone, law) : laboratory(test, facts, home.zone, law)) ?? []
  })
}

function pickUp(test: EvaluatedTest, facts: TestFacts, zone: string, { rules }: DutyContext['law']): Duty | null {
  const start = test.startAt ?? facts.setAt
  const within = rules.pickUpWithin
  if (start === null || !within) return null
  const minimumHours: Partial<Record<TestMethod, number>> = rules.minimumHours?.value ?? {}
  // Alpha track film is a long-term device: shorter than a long-term test it tells little.
  const hours = test.method === 'alpha-track' ? rules.longTermHours?.value : minimumHours[test.method]
  const earliestOn = localDayOf(start + (hours ?? 0) * hourMs, zone)
  return {
    kind: 'pick-up',
    causeId: test.testId,
    countedFrom: earliestOn,
    event: 'Long enough in place',
    within,
    earliestOn,
    owedBy: 'company',
    recommended: false,
    reason: 'a device is in place',
  }
}

function laboratory(test: EvaluatedTest, facts: TestFacts, zone: string, { rules }: DutyContext['law']): Duty | null {
  const at = facts.sentToLabAt ?? facts.pickedUpAt ?? test.stopAt
  const within = rules.laboratoryWithin
  if (at === null || !within) return null
  return {
    kind: 'laboratory-result',
    causeId: test.testId,
    countedFrom: localDayOf(at, zone),
    event: facts.sentToLabAt === null ? 'Picked up' : 'Sent to the laboratory',
    within,
    earliestOn: null,
    owedBy: 'company',
    recommended: false,
    reason: 'a result is awaited',
  }
}
