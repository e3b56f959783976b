import type { Working, WorkingLine } from '../answers.ts'
import { wallText } from '../calendar/wall-text.ts'
import type { Instant } from '../facts.ts'
import { lengthText } from '../series/slots.ts'
import type { ClosingContext } from './closing-context.ts'
import { noRule } from './closing-rules.ts'
import { type Step, stepsBack, stepsOn } from './closing-steps.ts'
import type { Moments } from './solve-closing.ts'

const titles = { fanStart: 'Fan start', set: 'Setting the device', pickUp: 'Pick-up' } as const
const keys = ['fanStart', 'set', 'pickUp'] as const

/** The reckoning step by step: at the latest, back from the deadline; at the earliest, on from now. */
export function workingsOf(
  context: ClosingContext,
  earliest: Moments | null,
  latest: Moments | null,
): readonly Working[] {
  const back = latest ? stepsBack(latest, context) : []
  const on = earliest ? stepsOn(earliest, context) : []
  const steps = keys.flatMap(key => {
    const pair = { latest: back.find(step => step.key === key), earliest: on.find(step => step.key === key) }
    return pair.latest || pair.earliest ? [ofStep(key, pair, context)] : []
  })
  const closed = latest ?? earliest
  return closed ? [...steps, ofClosing(closed, latest !== null, context)] : steps
}

type Pair = { readonly latest: Step | undefined; readonly earliest: Step | undefined }

function ofStep(key: (typeof keys)[number], { latest, earliest }: Pair, { question }: ClosingContext): Working {
  const text = (at: Instant) => wallText(at, question.zone)
  const rules = [...(latest?.rules ?? []), ...(earliest?.rules ?? [])]
  const asked = [...new Set(rules.map(rule => rule.text))]
  const ends = [earliest && `from ${text(earliest.got)}`, latest && `until ${text(latest.got)}`].filter(Boolean)
  return {
    title: titles[key],
    inputs: [
      ...(earliest ? [input(earliest, text)] : []),
      ...(latest ? [input(latest, text)] : []),
      ...asked.map(value => ({ label: 'Asked', value })),
    ],
    lines: [
      ...(earliest ? linesOf('earliest', earliest, text) : []),
      ...(latest ? linesOf('latest', latest, text) : []),
    ],
    rule: rules.find(({ rule }) => rule !== null)?.rule ?? null,
    outcome: ends.join(', '),
  }
}

const input = ({ from }: Step, text: (at: Instant) => string) => ({
  label: from.label.charAt(0).toUpperCase() + from.label.slice(1),
  value: text(from.at),
})

function linesOf(
  which: string,
  { from, by, bound, got, moved }: Step,
  text: (at: Instant) => string,
): readonly WorkingLine[] {
  const first = { left: `${from.label} ${by}`.trim(), relation: '=', right: text(bound), note: `at the ${which}` }
  return moved === null ? [first] : [first, { left: '', relation: '→', right: text(got), note: moved }]
}

function ofClosing({ set }: Moments, isLatest: boolean, { question, rules }: ClosingContext): Working {
  const { closedBefore } = rules
  const from = wallText(set - closedBefore.ms, question.zone)
  return {
    title: 'Keeping the building closed',
    inputs: [
      { label: 'Set', value: wallText(set, question.zone) },
      { label: 'Asked', value: closedBefore.words },
    ],
    lines:
      closedBefore.words === noRule
        ? []
        : [
            {
              left: `set − ${lengthText(closedBefore.ms)}`,
              relation: '=',
              right: from,
              note: isLatest ? 'at the latest' : null,
            },
          ],
    rule: closedBefore.rule,
    outcome: closedBefore.words === noRule ? noRule : `closed from ${from} on`,
  }
}
