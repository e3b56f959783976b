import type { TestPurpose } from '../domain/facts.ts'
import { dayWords } from '../web/day-words.ts'
import { purposeWords } from '../web/purpose-words.ts'

/** A test as a correction calls it: `Real-estate test, set 12 May 2026`. */
export const testSubject = ({ purpose, setOn }: { purpose: TestPurpose; setOn: string | null }): string =>
  `${purposeWords[purpose]}${setOn ? `, set ${dayWords(setOn)}` : ', day not known'}`
