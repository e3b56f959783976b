import type { UndeterminedReason, Verdict } from '../answers.ts'
import type { SystemChange } from './system-changes.ts'
import { outcomeWords, settledByWords } from './verdict-words.ts'

const changeWords: Record<SystemChange['kind'], string> = {
  started: 'The system started',
  altered: 'The system was altered',
  repaired: 'The system was repaired',
  off: 'The system is off',
}

/** A verdict that cannot be given, why, and what would settle it. */
export function undetermined(reason: UndeterminedReason, change: SystemChange | null): Verdict {
  const isOff = reason === 'altered-since-test' && change?.kind === 'off'
  const inputs =
    reason === 'altered-since-test' && change
      ? [{ label: changeWords[change.kind], value: change.latest ?? change.when.edtf ?? 'day unknown' }]
      : []
  return {
    outcome: 'undetermined',
    reason,
    settledBy: isOff ? 'Starting the system again.' : settledByWords[reason],
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
