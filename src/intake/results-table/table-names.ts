import type { TestMethod, TestPurpose } from '../../domain/facts.ts'
import type { TableRole } from './table-reading.ts'

const NAMES: readonly (readonly [TableRole, RegExp])[] = [
  ['home-id', /^(?:home|property|house)[ _-]?id$/],
  ['uncertainty', /uncert|±|error|sigma/],
  ['start-time', /(?:start|begin|set|expos\w* on).*time|time.*(?:start|begin|set)/],
  ['stop-time', /(?:stop|end|pick|expos\w* off).*time|time.*(?:stop|end)/],
  ['start', /start|begin|deployed|placed|^set\b|exposed from|from date/],
  ['stop', /stop|^end|end date|retrieved|picked|exposed to|until|^date$|test ?date/],
  ['value', /radon|result|concentration|pci|bq/],
  ['radon-unit', /^units?$|unit of|^uom$/],
  ['unit-of-home', /apartment|^apt|^suite|^flat$/],
  ['street', /street|address|^home$|^house$|property|line ?1/],
  ['city', /city|town|county|municipality/],
  ['region', /state|province|region/],
  ['postcode', /zip|post ?code|postal/],
  ['floor', /floor|level|storey|story/],
  ['location', /location|room|place|area/],
  ['method', /method|device type|detector|kit type/],
  ['purpose', /purpose|test type|reason/],
  ['kit-number', /kit|serial|canister|device|barcode/],
  ['laboratory', /lab/],
]

/** The role that a header names; each role is taken once, by the first column that names it. */
export function roleOfHeader(name: string, taken: ReadonlySet<TableRole>): TableRole {
  const words = name.toLowerCase().replaceAll(/[_.]+/g, ' ').trim()
  return NAMES.find(([role, pattern]) => !taken.has(role) && pattern.test(words))?.[0] ?? 'ignored'
}

const METHODS: readonly (readonly [TestMethod, RegExp])[] = [
  ['continuous-monitor', /continuous|monitor|\bcrm\b|electronic|digital/],
  ['liquid-scintillation', /liquid|scintillation|\bls\b/],
  ['activated-charcoal', /charcoal|canister|\bac\b|carbon/],
  ['electret', /electret|\be[- ]?perm\b|\beic?\b/],
  ['alpha-track', /alpha|track|\batd?\b|\bad\b/],
  ['unknown', /unknown|not known/],
]
const PURPOSES: readonly (readonly [TestPurpose, RegExp])[] = [
  ['post-mitigation', /post|after|clearance/],
  ['real-estate', /real|sale|transaction|purchase/],
  ['follow-up', /follow|confirm|second/],
  ['retest', /retest|re-test|repeat|biennial|periodic/],
  ['pre-mitigation', /pre|initial|screen|first|before/],
]

const named = <T extends string>(words: readonly (readonly [T, RegExp])[], text: string): T | null =>
  words.find(([name, pattern]) => name === text.toLowerCase() || pattern.test(text.toLowerCase()))?.[0] ?? null

export const methodNamed = (text: string) => named(METHODS, text)
export const purposeNamed = (text: string) => named(PURPOSES, text)

/** In North America the first floor is the one at the ground; elsewhere it is the one above. */
const FIRST_IS_GROUND = new Set(['US', 'CA'])
const ORDINALS = ['first', 'second', 'third', 'fourth', 'fifth', 'sixth', 'seventh', 'eighth']

/** -1 basement, 0 ground, 1 the first above it; null for words that name no floor. */
export function floorNamed(text: string, country: string): number | null {
  const words = text.trim().toLowerCase()
  if (/^-?\d{1,2}$/.test(words)) return Number(words)
  if (/base|cellar|crawl|lower|keller/.test(words)) return -1
  if (/ground|main|slab/.test(words)) return 0
  const ordinal = ORDINALS.findIndex(
    (name, i) => words.includes(name) || new RegExp(`\\b${i + 1}(?:st|nd|rd|th)\\b`).test(words),
  )
  if (ordinal < 0) return null
  return FIRST_IS_GROUND.has(country) ? ordinal : ordinal + 1
}
