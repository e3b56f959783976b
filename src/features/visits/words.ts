import type { z } from 'zod'
import type { visitOutcome } from './schemas.ts'

export const outcomeWords: Readonly<Record<z.output<typeof visitOutcome>, string>> = {
  '': 'not gone yet',
  done: 'Done',
  'partly-done': 'Partly done',
  'nobody-home': 'Nobody home',
  'called-off': 'Called off',
}

/** What a crew can answer: everything but that nobody has gone yet. */
export const outcomeChoices = Object.entries(outcomeWords)
  .filter(([value]) => value !== '')
  .map(([value, words]) => ({ value, words }))
