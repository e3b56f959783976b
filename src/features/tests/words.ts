import type { TestPurpose } from '../../domain/facts.ts'

export const purposeWords: Record<TestPurpose, string> = {
  'pre-mitigation': 'Pre-mitigation test',
  'post-mitigation': 'Post-mitigation test',
  retest: 'Retest',
  'real-estate': 'Real-estate test',
  'follow-up': 'Follow-up test',
}
export const stageWords = {
  planned: 'planned',
  set: 'device set',
  'picked-up': 'picked up',
  'at-laboratory': 'at the laboratory',
  'result-in': 'result in',
} as const
export const validityWords = { valid: 'valid', 'valid-with-notes': 'valid, with notes', invalid: 'invalid' } as const
export const sourceWords = {
  own: 'our own',
  'other-company': 'another company',
  laboratory: 'a laboratory',
  homeowner: 'the homeowner',
  imported: 'an imported table',
} as const

export const yesNoUnknown = [
  { value: 'yes', words: 'Yes' },
  { value: 'no', words: 'No' },
  { value: 'unknown', words: 'Not known' },
]
