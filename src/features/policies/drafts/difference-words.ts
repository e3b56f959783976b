import type { StandingDifference } from '../../../domain/standing/standing-difference.ts'
import { weekdayWords } from '../../../web/day-words.ts'
import { unitWords } from '../../../web/quantity-text.tsx'
import { shortVerdict } from '../../../web/verdict-mark.tsx'

type Owed = StandingDifference['obligations'][number]
const kinds: Record<Owed['kind'], string> = {
  'initial-test': 'first test',
  'follow-up-test': 'second test',
  mitigation: 'mitigation',
  'post-mitigation-test': 'test after mitigation',
  'further-mitigation': 'further work on the system',
  retest: 'retest',
  'pick-up': 'picking up the device',
  'laboratory-result': 'laboratory’s result',
}

/** What would be otherwise at a home, a sentence each: `Verdict: Below, would be At or above`. */
export function differenceWords({ verdict, level, obligations }: StandingDifference): readonly string[] {
  return [
    ...(verdict ? [`Verdict: ${shortVerdict(verdict.before)}, would be ${shortVerdict(verdict.after)}`] : []),
    ...(level ? [`Held against ${levelWords(level.before)}, would be ${levelWords(level.after)}`] : []),
    ...obligations.map(owedWords),
  ]
}

function owedWords({ kind, before, after }: Owed): string {
  const what = `${kinds[kind][0]!.toUpperCase()}${kinds[kind].slice(1)}`
  if (before === null) return `${what}: not owed, would be ${owed(after)}`
  if (after === null) return `${what}: ${owed(before)}, would not be owed`
  return `${what}: ${owed(before)}, would be ${owed(after)}`
}

const owed = (side: Owed['before']): string =>
  side ? `${side.recommended ? 'recommended' : 'due'} by ${weekdayWords(side.dueOn)}` : 'not owed'
const levelWords = (level: string | null): string =>
  level === null ? 'no level' : unitWords(level.replace('>=', 'at or above').replace('>', 'above'))
