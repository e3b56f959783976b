import type { ObligationKind } from '../../domain/answers.ts'
import type { LocalDay } from '../../domain/facts.ts'
import { weekdayWords } from '../../web/day-words.ts'
import { conversionWords, quantityWords } from '../../web/quantity-text.tsx'
import { verdictWords } from '../../web/verdict-mark.tsx'
import type { Known, OwedAtHome } from './claim.ts'

const nouns: Record<ObligationKind, string> = {
  'initial-test': 'A first radon test',
  'follow-up-test': 'A second radon test, to confirm the first,',
  mitigation: 'Work to lower the radon',
  'post-mitigation-test': 'A post-mitigation test',
  'further-mitigation': 'Further work on the system',
  retest: 'A radon retest',
  'pick-up': 'Picking up the device',
  'laboratory-result': 'The laboratory’s result',
}

export type OwedWords = Pick<OwedAtHome, 'kind' | 'dueOn' | 'recommended' | 'because'>

/** `A radon retest is due by Tue 12 May 2026.` */
export function owedWords({ kind, dueOn, recommended }: OwedWords, today: LocalDay): string {
  const verb = dueOn < today ? 'was' : 'is'
  return `${nouns[kind as ObligationKind]} ${verb} ${recommended ? 'recommended' : 'due'} by ${weekdayWords(dueOn)}.`
}

/** `Why: a home with a system is tested again.` */
export const becauseWords = ({ because }: OwedWords): string =>
  `Why: ${[...new Set(because.map(({ text }) => text))].join('; ')}.`

/** What was last found, as reported with its conversion, and how it stands to the level; null when nothing was. */
export function foundWords(known: Known | null): string | null {
  if (!known?.compared || known.outcome === 'undetermined') return null
  const conversion = conversionWords(known.compared)
  const value = quantityWords(known.compared) + (conversion === null ? '' : ` (${conversion})`)
  return `What we last found: ${value}. ${verdictWords({ ...known, reason: null })}.`
}
