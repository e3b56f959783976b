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
