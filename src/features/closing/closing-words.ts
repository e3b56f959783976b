import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { ClosingAnswer, ClosingPlan, PlannedVisit, Window } from '../../domain/closing/closing-answer.ts'
import type { ClosingAsk, ClosingMethod, ClosingQuestion } from '../../domain/closing/closing-question.ts'
import type { Instant } from '../../domain/facts.ts'
import { lengthText } from '../../domain/series/slots.ts'
import { cautionWith } from '../../web/caution.tsx'
import { weekdayWords } from '../../web/day-words.ts'
import { clockWords, zoneWords } from '../../web/instant-words.ts'

export const askWords: Readonly<Record<ClosingAsk, string>> = {
  'fix-and-result': 'Fix it and have a result',
  result: 'Have a result only',
  'post-mitigation-test': 'Have the post-mitigation test done',
}
export const methodWords: Readonly<Record<ClosingMethod, string>> = {
  'continuous-monitor': 'Continuous monitor',
  'activated-charcoal': 'Mail-in kit, activated charcoal',
  'liquid-scintillation': 'Mail-in kit, liquid scintillation',
}
export const visitWords: Readonly<Record<PlannedVisit['purpose'], string>> = {
  installation: 'Install the system',
  'set-device': 'Set the device',
  'pick-up-device': 'Pick it up',
}

type Feasible = Extract<ClosingAnswer, { verdict: 'feasible' }>
const whenIn = (zone: string, now: Instant) => (at: Instant) =>
  `${weekdayWords(localDayOf(at, zone), localDayOf(now, zone))}, ${clockWords(at, zone)}`

/** What to read out or send: plain, by the clock of the home, with the caution. */
export function closingSentence(answer: ClosingAnswer, question: ClosingQuestion, cautionAdded: string): string {
  const { zone, now } = question
  const said =
    answer.verdict === 'feasible'
      ? yes(answer, question)
      : answer.verdict === 'infeasible'
        ? no(answer, question)
        : [`This can not be reckoned yet: ${answer.reason}.`]
  const zones =
    answer.verdict === 'undetermined'
      ? []
      : [`Times are those of the clock at the home (${zoneWords(now, zone)} today).`]
  return [...said, ...zones, `Caution. ${cautionWith(cautionAdded)}`].join(' ')
}

function yes(answer: Feasible, question: ClosingQuestion): readonly string[] {
  const { plan, windows, deadline } = answer
  const when = whenIn(question.zone, question.now)
  if (question.asks === 'post-mitigation-test')
    return [
      `Yes: the test can be done by ${when(deadline)}.`,
      `The device can be set from ${spanWords(windows.set, when)} and picked up from ${spanWords(windows.pickUp, when)}.`,
      closedWords(windows.closed.latest, answer, when),
    ]
  const install = plan.visits.find(({ purpose }) => purpose === 'installation')
  return [
    `Yes: the result can be in hand by ${when(plan.reportAt ?? deadline)}, in time for ${when(deadline)}.`,
    ...(install ? [`We would install on ${when(install.from)}, and the fan runs from ${when(install.until)}.`] : []),
    closedWords(plan.closedFrom, answer, when),
    `We set the device by ${when(plan.setAt)} and pick it up on ${when(plan.pickUpAt)}.`,
    install && windows.install
      ? `The work has to begin by ${when(windows.install.latest)} at the latest.`
      : `The device has to be set by ${when(windows.set.latest)} at the latest.`,
    'What the result will be, nobody can say beforehand.',
  ]
}

function no(
  { plan, deadline, binds }: Extract<ClosingAnswer, { verdict: 'infeasible' }>,
  question: ClosingQuestion,
): readonly string[] {
  const when = whenIn(question.zone, question.now)
  if (!plan) return [`No, not by ${when(deadline)}: ${binds[0]?.text ?? 'there is no time for every step'}.`]
  const tested = question.asks === 'post-mitigation-test'
  const earliest = tested ? plan.pickUpAt : plan.reportAt
  const what = tested ? 'The test can be done' : 'The result can be in hand'
  return [
    `No, not by ${when(deadline)}.`,
    earliest === null
      ? ''
      : `${what} by ${when(earliest)} at the earliest, if we begin on ${when(plan.visits[0]!.from)}.`,
  ].filter(Boolean)
}

const spanWords = ({ earliest, latest }: Window, when: (at: Instant) => string) =>
  `${when(earliest)} to ${when(latest)}`

const closedWords = (from: Instant, { plan }: { plan: ClosingPlan }, when: (at: Instant) => string) =>
  plan.closedFrom === plan.setAt
    ? 'Windows and outside doors stay closed while the device measures.'
    : `Windows and outside doors stay closed from ${when(from)} at the latest until the device is picked up.`

/** What the crew reads on each visit of the plan. */
export function instructionsOf(
  purpose: PlannedVisit['purpose'],
  { plan, windows, deadline }: Feasible,
  zone: string,
): string {
  const when = whenIn(zone, plan.visits[0]!.from)
  const said = {
    installation: `For a closing: the fan must run by ${when(windows.fanStart?.latest ?? plan.setAt)}. Ask that windows and outside doors be closed from ${when(plan.closedFrom)} on.`,
    'set-device': `For a closing: set it between ${spanWords(windows.set, when)}. See that the building has been closed since ${when(plan.closedFrom)}.`,
    'pick-up-device': `For a closing: not before ${when(plan.pickUpAt)}, and not after ${when(windows.pickUp.latest)}.`,
  }
  return `${said[purpose]} Deadline: ${when(deadline)}.`
}

/** `3 h to spare`, or that nothing is. */
export const slackWords = (slackMs: number): string =>
  slackMs < 60_000 ? 'with nothing to spare' : `with ${daysWords(slackMs)} to spare`

function daysWords(ms: number): string {
  const days = Math.floor(ms / 86_400_000)
  const rest = ms - days * 86_400_000
  if (days === 0) return lengthText(ms)
  return [days === 1 ? '1 day' : `${days} days`, rest < 60_000 ? '' : lengthText(rest)].filter(Boolean).join(' ')
}
