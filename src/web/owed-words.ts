import type { Obligation, ObligationKind } from '../domain/answers.ts'
import type { LocalDay } from '../domain/facts.ts'
import { weekdayWords } from './day-words.ts'

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

export type OwedToSay = Pick<Obligation, 'dueOn' | 'recommended'> & {
  readonly kind: string
  readonly because: readonly { readonly text: string }[]
}

/** To a homeowner: `A radon retest is due by Tue 12 May 2026.` */
export function owedWords({ kind, dueOn, recommended }: OwedToSay, today: LocalDay): string {
  const verb = dueOn < today ? 'was' : 'is'
  return `${nouns[kind as ObligationKind]} ${verb} ${recommended ? 'recommended' : 'due'} by ${weekdayWords(dueOn)}.`
}

/** `Why: a home with a system is tested again.` */
export const becauseWords = ({ because }: OwedToSay): string =>
  `Why: ${[...new Set(because.map(({ text }) => text))].join('; ')}.`
