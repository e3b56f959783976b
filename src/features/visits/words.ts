import type { z } from 'zod'
import type { visitOutcome, visitPurpose } from './schemas.ts'

export const purposeWords: Readonly<Record<z.output<typeof visitPurpose>, string>> = {
  bid: 'Bid',
  diagnostics: 'Diagnostics',
  installation: 'Installation',
  'return-trip': 'Return trip',
  'set-device': 'Set a device',
  'pick-up-device': 'Pick up a device',
  'gauge-check': 'Gauge check',
  callback: 'Callback',
  'paid-service-call': 'Paid service call',
  other: 'Another purpose',
}
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
