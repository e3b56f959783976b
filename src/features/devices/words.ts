import type { LocalDay } from '../../domain/facts.ts'
import { dayWords } from '../../web/day-words.ts'
import type { DeviceRow } from './queries.ts'

export const kindWords: Readonly<Record<DeviceRow['kind'], string>> = {
  monitor: 'Radon monitor',
  'kit-lot': 'Lot of kits',
}
export const methodWords: Readonly<Record<DeviceRow['method'], string>> = {
  'continuous-monitor': 'continuous monitor',
  'activated-charcoal': 'activated charcoal',
  electret: 'electret ion chamber',
  'alpha-track': 'alpha track',
  'liquid-scintillation': 'liquid scintillation',
}

export const nameOf = (device: Pick<DeviceRow, 'model' | 'serial' | 'lot' | 'kind'>): string =>
  [device.model || kindWords[device.kind], device.serial ?? device.lot ?? ''].filter(Boolean).join(' ')

export const awayWords = {
  calibration: 'away for calibration',
  repair: 'away for repair',
  lent: 'lent',
} as const
export const absenceWords = { ...awayWords, lost: 'lost' } as const
export const absenceChoices = {
  calibration: 'Calibration',
  repair: 'Repair',
  lent: 'Lent to somebody',
  lost: 'Lost',
} as const

export const pickUpWords = {
  visit: 'picked up by the visit on',
  booking: 'booked there until',
  'shortest-test': 'long enough in place on',
} as const

export const kitStateWords = {
  left: 'left, not opened as far as known',
  'in-place': 'in place',
  'to-post': 'exposed, to be posted',
  posted: 'at the laboratory',
  answered: 'answered',
  returned: 'came back unused',
  lost: 'lost',
} as const

/** A reason as the rules give it, its days as people say them. */
export const daysInWords = (reason: string, today: LocalDay): string =>
  reason.replace(/\d{4}-\d\d-\d\d/g, day => dayWords(day, today))
