import type { z } from 'zod'
import type { Working } from '../../domain/answers.ts'
import type { ClosingPlan, ClosingWindows, Window } from '../../domain/closing/closing-answer.ts'
import type { Actor } from '../../platform/auth/actor.ts'
import { instantText, instantTextOrNull } from '../../platform/http/scalars.ts'
import type { Answered } from './ask-closing.ts'
import { closingSentence } from './closing-words.ts'
import type { closingOut } from './schemas.ts'

/** Which devices there are is told to those who may read devices. */
export const seesDevices = (actor: Actor): boolean =>
  actor.kind === 'app' ? actor.scopes.includes('devices:read') : actor.kind !== 'homeowner'

/** A closing as an app sees it. */
export function presentClosing(
  { answer, question, home, cautionAdded }: Answered,
  devices: boolean,
): z.output<typeof closingOut> {
  const feasible = answer.verdict === 'feasible' ? answer : null
  const undetermined = answer.verdict === 'undetermined'
  return {
    propertyId: home.id,
    zone: question.zone,
    verdict: answer.verdict,
    reason: undetermined ? answer.reason : null,
    deadline: undetermined ? null : instantText(answer.deadline),
    windows: feasible && presentWindows(feasible.windows),
    plan: undetermined || !answer.plan ? null : presentPlan(answer.plan),
    slackMinutes: feasible && Math.floor(feasible.slackMs / 60_000),
    devices: devices ? (feasible?.devices?.map(({ id, name, goodUntil }) => ({ id, name, goodUntil })) ?? null) : null,
    binds: answer.binds.map(({ text, rule }) => ({ text, rule })),
    workings: answer.workings.map(mutable),
    notes: [...answer.notes],
    sentence: closingSentence(answer, question, cautionAdded),
  }
}

const presentWindow = ({ earliest, latest }: Window) => ({
  earliest: instantText(earliest),
  latest: instantText(latest),
})
const presentWindowOrNull = (window: Window | null) => window && presentWindow(window)

const presentWindows = ({ install, fanStart, closed, set, pickUp, report }: ClosingWindows) => ({
  install: presentWindowOrNull(install),
  fanStart: presentWindowOrNull(fanStart),
  closed: presentWindow(closed),
  set: presentWindow(set),
  pickUp: presentWindow(pickUp),
  report: presentWindowOrNull(report),
})

const presentPlan = ({ visits, fanStartAt, closedFrom, setAt, pickUpAt, reportAt }: ClosingPlan) => ({
  visits: visits.map(({ purpose, from, until, crewId }) => ({
    purpose,
    startsAt: instantText(from),
    endsAt: instantText(until),
    crew: crewId,
  })),
  fanStartAt: instantTextOrNull(fanStartAt),
  closedFrom: instantText(closedFrom),
  setAt: instantText(setAt),
  pickUpAt: instantText(pickUpAt),
  reportAt: instantTextOrNull(reportAt),
})

const mutable = (working: Working) => ({ ...working, inputs: [...working.inputs], lines: [...working.lines] })
