import type { Span } from '../calendar/working-hours.ts'
import type { Instant } from '../facts.ts'
import type { ClosingPlan, PlannedVisit } from './closing-answer.ts'
import type { ClosingContext } from './closing-context.ts'
import { type FreeTimes, runsOf } from './free-times.ts'
import { holds } from './intervals.ts'
import { reportedAt } from './reporting.ts'
import type { Moments } from './solve-closing.ts'
import { begunBefore } from './work-time.ts'

const minuteMs = 60_000

/** The visits and moments of a plan, each visit with somebody who is free for it. */
export function planOf({ fanStart, set, pickUp }: Moments, context: ClosingContext): ClosingPlan {
  const { question, limits, days } = context
  const { setMinutes, pickUpMinutes } = question.durations
  const visits: PlannedVisit[] = [
    { purpose: 'set-device', from: set - setMinutes * minuteMs, until: set, crewId: whoAt('set', set, context) },
    {
      purpose: 'pick-up-device',
      from: pickUp,
      until: pickUp + pickUpMinutes * minuteMs,
      crewId: whoAt('pickUp', pickUp, context),
    },
  ]
  const starts = limits.fixes && fanStart !== null ? fanStart : null
  return {
    visits: starts === null ? visits : [installation(starts, context), ...visits],
    fanStartAt: starts,
    closedFrom: set - limits.closedBefore,
    setAt: set,
    pickUpAt: pickUp,
    reportAt: reportedAt(pickUp, question, days.flat()),
  }
}

const freeAt = (step: keyof FreeTimes, at: Instant, { crews }: ClosingContext) =>
  crews.find(({ times }) => holds(times[step], at))

const whoAt = (step: keyof FreeTimes, at: Instant, context: ClosingContext): string | null =>
  freeAt(step, at, context)?.crew.id || null

/** Work that ends when the fan comes on; where its beginning falls into a break, after it. */
function installation(fanStart: Instant, context: ClosingContext): PlannedVisit {
  const who = freeAt('fanStart', fanStart, context)
  const ms = context.question.durations.installMinutes * minuteMs
  const run = runOf(fanStart, context.days, who?.crew.busy ?? [])
  return {
    purpose: 'installation',
    from: begunBefore(run, fanStart, ms) ?? fanStart - ms,
    until: fanStart,
    crewId: who?.crew.id || null,
  }
}

const runOf = (at: Instant, days: readonly (readonly Span[])[], busy: readonly Span[]): readonly Span[] =>
  days.flatMap(day => runsOf(day, busy)).find(run => holds(run, at)) ?? []
