import type { ClosingPlan } from '../../domain/closing/closing-answer.ts'
import type { Instant } from '../../domain/facts.ts'
import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import { type Asked, askClosing } from './ask-closing.ts'
import { instructionsOf } from './closing-words.ts'

type ClosingVisit = {
  readonly purpose: 'installation' | 'set-device' | 'pick-up-device'
  readonly startsAt: Instant
  readonly endsAt: Instant
  readonly instructions: string
  readonly crew: string[]
}
/** The verb that plans a visit, handed over by whoever puts the features together. */
export type PlanVisit = (tx: Tx, act: Act, propertyId: string, visit: ClosingVisit) => Promise<string>

/** A plan by the beginnings of its visits and who goes: what was seen when the button was pressed. */
export const planKey = ({ visits }: ClosingPlan): string =>
  visits.map(({ purpose, from, crewId }) => `${purpose} ${from} ${crewId ?? ''}`).join(', ')

/** Makes the visits of the plan that was seen; refused where it is no longer the one that would be proposed. */
export async function planClosing(
  tx: Tx,
  act: Act,
  propertyId: string,
  { asked, seen }: { readonly asked: Asked; readonly seen: string },
  planVisit: PlanVisit,
): Promise<void> {
  const { answer, question } = await askClosing(tx, act, propertyId, asked)
  if (answer.verdict !== 'feasible' || planKey(answer.plan) !== seen)
    throw problem(
      409,
      'plan-moved',
      'Meanwhile a visit, a device or the time has changed the plan; nothing was planned.',
    )
  for (const { purpose, from, until, crewId } of answer.plan.visits)
    await planVisit(tx, act, propertyId, {
      ...{ purpose, startsAt: from, endsAt: until },
      instructions: instructionsOf(purpose, answer, question.zone),
      crew: crewId === null ? [] : [crewId],
    })
}
