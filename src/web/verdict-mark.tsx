import type { Verdict, VerdictOutcome } from '../domain/answers.ts'
import { reasonWords } from '../domain/verdict/verdict-words.ts'
import { unitWords } from './quantity-text.tsx'

type Marked = Pick<Verdict, 'outcome' | 'reason' | 'level'>

// Each sign differs in outline, so that it is told apart on a black-and-white page.
const signs: Record<VerdictOutcome, string> = {
  below: 'M2 4 H18 M10 9 V17 M6 13 L10 17 L14 13',
  'at-or-above': 'M10 3 L18 17 H2 Z',
  'needs-follow-up': 'M10 3 L18 10 L10 17 L2 10 Z',
  disagreement: 'M3 6 H17 M3 14 H17 M15 2 L5 18',
  undetermined: 'M10 3 A7 7 0 1 1 9.9 3 Z',
}

/** The verdict in the words of the level: `Below the action level of 4.0 pCi/L`. */
export function verdictWords({ outcome, reason, level }: Marked): string {
  const limit = level ? `the ${level.label} of ${level.value} ${unitWords(level.unit)}` : 'the action level'
  const over = level?.operator === '>' ? 'Above' : 'At or above'
  if (outcome === 'below') return level?.operator === '>' ? `Not above ${limit}` : `Below ${limit}`
  if (outcome === 'at-or-above') return `${over} ${limit}`
  if (outcome === 'needs-follow-up') return `${over} ${limit} in one test: a second one confirms or clears it`
  if (outcome === 'disagreement') return 'The results disagree: further testing is needed'
  return `Undetermined: ${reasonWords[reason ?? 'facts-missing']}`
}

/** An outcome in a word or two. */
export const shortVerdict = (outcome: VerdictOutcome): string => shortWords[outcome]

const shortWords: Record<VerdictOutcome, string> = {
  below: 'Below',
  'at-or-above': 'At or above',
  'needs-follow-up': 'Needs follow-up',
  disagreement: 'Disagreement',
  undetermined: 'Undetermined',
}

/** A verdict as a word with a sign and, last, a tone. `short` for a table's cell. */
export function VerdictMark(props: Marked & { short?: boolean }): JSX.Element {
  const over = props.short && props.outcome === 'at-or-above' && props.level?.operator === '>'
  const words = props.short ? (over ? 'Above' : shortWords[props.outcome]) : verdictWords(props)
  return (
    <span class={`verdict verdict-${props.outcome}`}>
      <svg class="sign" viewBox="0 0 20 20" width="20" height="20" aria-hidden="true" focusable="false">
        <path d={signs[props.outcome]} />
      </svg>
      <span class="word" safe>
        {words}
      </span>
    </span>
  )
}
