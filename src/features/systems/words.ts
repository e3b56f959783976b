import type { z } from 'zod'
import type { componentKind, gaugeRole, installedBy, systemEventKind, systemType } from './schemas.ts'

type Words<S extends z.ZodEnum> = Readonly<Record<z.output<S>, string>>

export const typeWords: Words<typeof systemType> = {
  'sub-slab-suction': 'Sub-slab suction',
  'drain-tile-suction': 'Drain-tile suction',
  'sump-suction': 'Sump suction',
  'block-wall-suction': 'Block-wall suction',
  'sub-membrane-suction': 'Sub-membrane suction',
  'crawlspace-ventilation': 'Crawlspace ventilation',
  'house-pressurization': 'House pressurization',
  'heat-recovery-ventilation': 'Heat-recovery ventilation',
  'passive-stack': 'Passive stack',
  'water-aeration': 'Water aeration',
  'water-carbon': 'Water carbon filter',
  other: 'Another kind',
  unknown: 'Kind not known',
}
export const installedByWords: Words<typeof installedBy> = {
  us: 'us',
  another: 'another company',
  builder: 'the builder',
  owner: 'the owner',
  unknown: 'not known',
}
export const componentWords: Words<typeof componentKind> = {
  fan: 'Fan',
  pipe: 'Pipe',
  gauge: 'System gauge',
  alarm: 'Alarm',
  valve: 'Valve',
  'sump-lid': 'Sump lid',
  membrane: 'Membrane',
  disconnect: 'Disconnect',
  outlet: 'Outlet',
  other: 'Another part',
}
export const eventWords: Words<typeof systemEventKind> = {
  'first-start': 'First start',
  off: 'Switched off',
  on: 'Switched on again',
  completed: 'Completed',
  'signed-off': 'Signed off',
  sealed: 'Sealed',
  altered: 'Altered',
  repaired: 'Repaired',
}
export const gaugeRoleWords: Words<typeof gaugeRole> = {
  'start-up': 'start-up',
  adopted: 'adopted as the baseline',
  visit: 'on a visit',
  reported: 'reported',
}
