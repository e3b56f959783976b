import type { UndeterminedReason, Verdict } from '../answers.ts'
import type { SystemChange } from './system-changes.ts'
import { outcomeWords, settledByWords } from './verdict-words.ts'

const changeWords: Record<SystemChange['kind'], string> = {
  started: 'The system started',
  altered: 'The system was altered',
  repaired: 'The system was repaired',
  off: 'The system is off',
}

/** The day of a change as it was written down, never one that was only reckoned with. */
export const dayWords = ({ when, latest }: SystemChange): string =>
  (when.at === null ? when.edtf : latest) ?? 'day unknown'

/** A verdict that cannot be given, why, and what would settle it. */
export function undetermined(reason: UndeterminedReason, change: SystemChange | null): Verdict {
  const isOff = reason === 'altered-since-test' && change?.kind === 'off'
  const inputs =
    change && (reason === 'altered-since-test' || reason === 'order-unknown')
      ? [{ label: changeWords[change.kind], value: dayWords(change) }]
      : []
  return {
    outcome: 'undetermined',
    reason,
    settledBy: isOff ? 'Starting the system again, or noting the day it was started.' : settledByWords[reason],
    level: null,
    tier: null,
    compared: null,
    testIds: [],
    perLocation: [],
    working: {
      title: 'No verdict',
      inputs,
      lines: [],
      rule: null,
      outcome: outcomeWords('undetermined', null, reason),
    },
  }
}
