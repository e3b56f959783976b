import type { z } from 'zod'
import type { channel, complaint } from './schemas.ts'

export const complaintWords: Readonly<Record<z.output<typeof complaint>, string>> = {
  alarm: 'The alarm sounds',
  'gauge-at-zero': 'The gauge stands at zero',
  'gauge-changed': 'The gauge has changed',
  noise: 'Noise',
  water: 'Water or gurgling',
  ice: 'Ice',
  odour: 'An odour',
  'high-result': 'A high result',
  damage: 'Damage',
  power: 'No power',
  other: 'Something else',
}
export const channelWords: Readonly<Record<z.output<typeof channel>, string>> = {
  phone: 'by phone',
  mail: 'by mail',
  'homeowner-page': 'on the homeowner’s page',
  app: 'through an app',
  'in-person': 'in person',
}
