import type { LevelRef, UndeterminedReason, VerdictOutcome } from '../answers.ts'

const limitWords = ({ value, unit, operator }: LevelRef, over: boolean) =>
  operator === '>='
    ? `${over ? 'at or above' : 'below'} the level of ${value} ${unit}`
    : `${over ? 'above' : 'not above'} the level of ${value} ${unit}`

/** The outcome in the words of the level's own document: a `>=` level is reached, a `>` level is exceeded. */
export function outcomeWords(
  outcome: VerdictOutcome,
  level: LevelRef | null,
  reason: UndeterminedReason | null,
): string {
  if (outcome === 'undetermined' || !level) return `undetermined: ${reasonWords[reason ?? 'facts-missing']}`
  if (outcome === 'below') return limitWords(level, false)
  if (outcome === 'at-or-above') return limitWords(level, true)
  if (outcome === 'needs-follow-up') return `${limitWords(level, true)}; a second test confirms or clears it`
  return 'the results disagree too far to average; further testing is needed'
}

export const reasonWords: Record<UndeterminedReason, string> = {
  'never-tested': 'no test is on record',
  'test-under-way': 'a test is under way',
  'result-awaited': 'the result is awaited',
  'only-invalid-tests': 'no test on record is valid',
  'altered-since-test': 'the system changed after the last valid test',
  'order-unknown': 'the days on record do not tell whether the system changed before or after the last valid test',
  'not-the-required-kind': 'only a test of another kind decides here',
  'facts-missing': 'what is on record does not tell',
}

export const settledByWords: Record<UndeterminedReason, string> = {
  'never-tested': 'A test of the lowest occupied level.',
  'test-under-way': 'Picking up the device and reading its result.',
  'result-awaited': 'The result of the test already made.',
  'only-invalid-tests': 'A test that meets the conditions its findings name.',
  'altered-since-test': 'A test with the system as it stands now.',
  'order-unknown': 'The day of the change, or a test with the system as it stands now.',
  'not-the-required-kind': 'A long-term test in the rooms the rules ask for.',
  'facts-missing': 'A result that is a number, with the days it was measured.',
}
