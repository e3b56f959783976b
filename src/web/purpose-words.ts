import type { TestPurpose } from '../domain/facts.ts'

/** What a test is called by what it was made for. */
export const purposeWords: Readonly<Record<TestPurpose, string>> = {
  'pre-mitigation': 'Pre-mitigation test',
  'post-mitigation': 'Post-mitigation test',
  retest: 'Retest',
  'real-estate': 'Real-estate test',
  'follow-up': 'Follow-up test',
}
