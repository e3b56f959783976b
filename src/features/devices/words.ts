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
