import { wallText } from '../calendar/wall-text.ts'
import { lastDayOfRule } from './closing-context.ts'
import type { ClosingQuestion } from './closing-question.ts'
import { type ClosingRules, noRule, withinWords } from './closing-rules.ts'

/** What the answer takes for granted, what no rule is known for, and what the test will not tell. */
export function notesOf(question: ClosingQuestion, rules: ClosingRules): readonly string[] {
  const { afterFanStart, closedBefore, within, length } = rules
  const lastDay = question.asks === 'post-mitigation-test' ? lastDayOfRule(question, rules) : null

  const { law, asks, crews, devices, mitigated, fanStart } = question
  const fans = asks === 'fix-and-result' || mitigated
  const decides = law?.rules.decidedBy
  const longTerm = law?.rules.longTermHours
  const short = length && (!longTerm || length.ms < longTerm.value * 3_600_000)
  return [
    decides?.value === 'long-term' && short
      ? `By ${decides.ref.instrument}, only a long-term test decides (${decides.ref.clause}): this test shows, and decides nothing.`
      : null,
    fans && afterFanStart.length === 0
      ? `For how long the fan must run before a test: ${noRule}; nothing is waited for.`
      : null,
    closedBefore.words === noRule ? `For keeping the building closed: ${noRule}; nothing is waited for.` : null,
    asks !== 'result' && !within ? `For how soon after the fan start the test must be done: ${noRule}.` : null,
    asks !== 'fix-and-result' && mitigated && !fanStart
      ? 'The fan’s start is not on record: see that it has run long enough before the device is set.'
      : null,
    fanStart && asks !== 'fix-and-result' && fanStart.earliest !== fanStart.latest
      ? 'The fan’s start is known only roughly: the last moment it can mean is reckoned with.'
      : null,
    lastDay !== null && within && lastDay < question.now
      ? `By the rule, the test was to be ${withinWords(within)}: by ${wallText(lastDay, question.zone)}, which is past.`
      : null,
    crews.length === 0 ? 'Nobody is on record who goes on visits: somebody who is always free is assumed.' : null,
    devices === null ? 'No device of this method is on record: that one is at hand is assumed.' : null,
    'Driving is not reckoned with, and the building is taken as open until it is asked to be closed.',
  ].filter(note => note !== null)
}
