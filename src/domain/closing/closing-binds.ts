import type { Bind } from './closing-answer.ts'
import type { ClosingContext } from './closing-context.ts'
import { withinWords } from './closing-rules.ts'
import { type Step, stepsBack, stepsOn } from './closing-steps.ts'
import type { Moments } from './solve-closing.ts'

const stepWords = { fanStart: 'the installation', set: 'setting the device', pickUp: 'the pick-up' } as const

/** What decides how late a plan can begin, or how early it can end: rules first met, then hours and people. */
export function bindsOf(steps: readonly Step[]): readonly Bind[] {
  const rules = steps.flatMap(step => step.rules)
  const moved = steps.flatMap(({ key, moved }) => (moved ? [{ text: `${stepWords[key]}: ${moved}`, rule: null }] : []))
  const all = [...rules, ...moved]
  return all.filter(({ text }, at) => all.findIndex(other => other.text === text) === at)
}

/** Why there is no plan in time; of none at all, what is missing. */
export function bindsAgainst(earliest: Moments | null, context: ClosingContext): readonly Bind[] {
  const { devices, hours } = context.question
  if (devices?.length === 0) return [{ text: 'no device of this method is free and in calibration', rule: null }]
  if (earliest) {
    const { within } = context.rules
    const device = context.byDevices < earliest.pickUp
    const late = within && context.byRule < earliest.pickUp
    return [
      ...(late ? [{ text: withinWords(within), rule: within.ref }] : []),
      ...(device ? [{ text: 'no device is free and in calibration for so long', rule: null }] : []),
      ...bindsOf(stepsOn(earliest, context)),
    ]
  }
  const none = hours.week.every(day => day.length === 0)
  return [{ text: none ? 'no working hours are set' : 'no working day has room for every step', rule: null }]
}

export const bindsFor = (latest: Moments, context: ClosingContext): readonly Bind[] =>
  bindsOf(stepsBack(latest, context))
