import type { ClosingAnswer, PlannedVisit } from '../../domain/closing/closing-answer.ts'
import type { ClosingQuestion } from '../../domain/closing/closing-question.ts'
import type { TimelineFacts, TimelineRow } from '../../web/closing-timeline.tsx'

/** The plan as it is drawn, with the room each step has; null where there is no plan. */
export function timelineOf(answer: ClosingAnswer, question: ClosingQuestion): TimelineFacts | null {
  if (answer.verdict === 'undetermined' || !answer.plan) return null
  const { plan } = answer
  const windows = answer.verdict === 'feasible' ? answer.windows : null
  const visit = (purpose: PlannedVisit['purpose']) => plan.visits.find(one => one.purpose === purpose)
  const install = visit('installation')
  const rows: (TimelineRow | null)[] = [
    install
      ? {
          words: 'Installing',
          kind: 'work',
          from: install.from,
          until: install.until,
          latest: windows?.fanStart?.latest ?? null,
        }
      : null,
    install ? { words: 'Fan runs', kind: 'waited', from: install.until, until: plan.pickUpAt, latest: null } : null,
    plan.closedFrom < plan.pickUpAt
      ? { words: 'Building closed', kind: 'kept', from: plan.closedFrom, until: plan.pickUpAt, latest: null }
      : null,
    {
      words: 'Device measures',
      kind: 'measured',
      from: plan.setAt,
      until: plan.pickUpAt,
      latest: windows?.pickUp.latest ?? null,
    },
    plan.reportAt === null
      ? null
      : {
          words: 'Reading out, reporting',
          kind: 'work',
          from: plan.pickUpAt,
          until: plan.reportAt,
          latest: windows?.report?.latest ?? null,
        },
  ]
  return {
    rows: rows.filter(row => row !== null),
    deadline: answer.deadline,
    zone: question.zone,
    title: 'The earliest plan against the days, with the deadline',
    description:
      'Each step from its beginning to its end, and a thin bar for how much later it may end; the table below has the times.',
  }
}
