import type { ClosingAnswer, ClosingWindows } from './closing-answer.ts'
import { bindsAgainst, bindsFor } from './closing-binds.ts'
import { type ClosingContext, contextOf, lastDayOfRule, lastGoodOf } from './closing-context.ts'
import { notesOf } from './closing-notes.ts'
import { planOf } from './closing-plan.ts'
import type { ClosingQuestion } from './closing-question.ts'
import { type ClosingRules, closingRulesOf } from './closing-rules.ts'
import { workingsOf } from './closing-workings.ts'
import { earliestMoments, latestMoments, type Moments } from './solve-closing.ts'

/**
 * Whether a home can be fixed and have a result by a deadline: backwards from it, forwards from now, by the rules of the
 * home's law and the company's hours.
 */
export function closingOf(question: ClosingQuestion): ClosingAnswer {
  const rules = closingRulesOf(question)
  const notes = notesOf(question, rules)
  const deadline =
    question.deadline ?? (question.asks === 'post-mitigation-test' ? lastDayOfRule(question, rules) : null)
  if (!rules.length || deadline === null)
    return { verdict: 'undetermined', reason: whyUndetermined(question, rules), notes, binds: [], workings: [] }
  const context = contextOf(question, rules, deadline)
  const earliest = earliestMoments(context.times, context.limits)
  const latest = latestMoments(context.times, context.limits)
  const workings = workingsOf(context, earliest, latest)
  if (!earliest || !latest) {
    const plan = earliest && context.question.devices?.length !== 0 ? planOf(earliest, context) : null
    return { verdict: 'infeasible', deadline, plan, notes, workings, binds: bindsAgainst(earliest, context) }
  }
  const plan = planOf(earliest, context)
  const lastPlan = planOf(latest, context)
  return {
    ...{ verdict: 'feasible', deadline, plan, notes, workings },
    windows: windowsOf(earliest, latest, context),
    slackMs: lastPlan.visits[0]!.from - plan.visits[0]!.from,
    devices: question.devices?.filter(device => lastGoodOf(device, question.zone) >= earliest.pickUp) ?? null,
    binds: bindsFor(latest, context),
  }
}

function windowsOf(earliest: Moments, latest: Moments, context: ClosingContext): ClosingWindows {
  const { limits } = context
  const [first, last] = [planOf(earliest, context), planOf(latest, context)]
  const fixes = limits.fixes && earliest.fanStart !== null && latest.fanStart !== null
  return {
    install: fixes ? { earliest: first.visits[0]!.from, latest: last.visits[0]!.from } : null,
    fanStart: fixes ? { earliest: earliest.fanStart!, latest: latest.fanStart! } : null,
    closed: {
      earliest: limits.fixes && earliest.fanStart !== null ? earliest.fanStart : limits.from,
      latest: latest.set - limits.closedBefore,
    },
    set: { earliest: earliest.set, latest: latest.set },
    pickUp: { earliest: earliest.pickUp, latest: latest.pickUp },
    report:
      first.reportAt === null || last.reportAt === null ? null : { earliest: first.reportAt, latest: last.reportAt },
  }
}

function whyUndetermined({ law, asks, fanStart }: ClosingQuestion, { length, within }: ClosingRules): string {
  if (!law) return 'no rule set covers the place of this home'
  if (!length) return `no rule known for the least length of a test with this method (${law.title})`
  if (asks !== 'post-mitigation-test') return 'no deadline is given'
  if (!fanStart) return 'the fan’s start is not on record: give the day by which the test must be done'
  return within ? 'no deadline is given' : `no rule known for when a post-mitigation test must be done (${law.title})`
}
