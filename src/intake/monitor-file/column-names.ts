import type { ColumnRole } from './reading.ts'

const plain = (name: string): string => name.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase()

const RADON = /radon|(?:^|[^a-z])rn(?:[- ]?222)?(?:[^a-z]|$)|konzentration|concentra|aktivit|activity|pci|bq/
const OTHER_NUCLIDE = /thoron|rn[- ]?220|decay product|progeny|\bwl\b|working level/
const NOT_THE_READING = /uncert|unsicher|error|fehler|incert|sigma|±|std|deviation|counts?\b|alarm|status|battery/
const SUMMARY = /avg|average|mean|mittel|moyenne|media\b|long|lta|\bday|24 ?h|7 ?d|week|month|year|cumul|\bmin\b|\bmax/

const SIDE: readonly (readonly [ColumnRole, RegExp])[] = [
  ['temperature', /temp|(?:^|[^a-z])t ?\(?°|°\s?[cf]\b/],
  ['humidity', /hum|feucht|hygro|(?:^|[^a-z])r\.?h\.?(?:[^a-z]|$)|umid|%/],
  ['pressure', /press|druck|baro|hpa|mbar|inhg|kpa/],
  ['movement', /mov|motion|tilt|tamper|shock|beweg|vibrat|disturb/],
]

export const namesRadon = (name: string): boolean => {
  const text = plain(name)
  return RADON.test(text) && !OTHER_NUCLIDE.test(text) && !NOT_THE_READING.test(text)
}
export const namesSummary = (name: string): boolean => SUMMARY.test(plain(name))
export const namesCounter = (name: string): boolean =>
  /^(?:#|nr|no|num|number|record|rec|index|id|seq|serial|sn|line|zeile)\b/.test(plain(name).trim())
export const namesError = (name: string): boolean =>
  NOT_THE_READING.test(plain(name)) || OTHER_NUCLIDE.test(plain(name))

/** The side quantity a header names. */
export const sideRoleOf = (name: string): ColumnRole | null =>
  SIDE.find(([, words]) => words.test(plain(name)))?.[0] ?? null

/** What a header says of the stamp: the start or the end of its interval. */
export function stampEdgeIn(text: string): 'start' | 'end' | null {
  const words = plain(text)
  const start = /\b(?:start|begin|beginning|from|beginn|debut|inicio|von)\b/.test(words)
  const end = /\b(?:end|ending|stop|until|ende|fin|bis)\b/.test(words)
  return start === end ? null : start ? 'start' : 'end'
}
