type SystemType =
  | 'sub-slab-suction'
  | 'drain-tile-suction'
  | 'sump-suction'
  | 'block-wall-suction'
  | 'sub-membrane-suction'
  | 'crawlspace-ventilation'
  | 'house-pressurization'
  | 'heat-recovery-ventilation'
  | 'passive-stack'
  | 'water-aeration'
  | 'water-carbon'
  | 'other'

const SYSTEM_TYPES: readonly (readonly [SystemType, RegExp])[] = [
  ['passive-stack', /passive/],
  ['sub-membrane-suction', /membrane|\bsmd\b|\bsms\b|crawl.*(?:suction|depress|liner)|liner/],
  ['drain-tile-suction', /drain ?tile|\bdtd\b|\bdts\b|tile/],
  ['sump-suction', /sump/],
  ['block-wall-suction', /block|\bbwd\b|\bbws\b/],
  ['crawlspace-ventilation', /crawl/],
  ['heat-recovery-ventilation', /\bhrv\b|\berv\b|heat recovery/],
  ['house-pressurization', /pressuri[sz]/],
  ['water-aeration', /aerat/],
  ['water-carbon', /carbon|\bgac\b/],
  ['sub-slab-suction', /sub-? ?slab|\bssd\b|\bssds\b|\bass?d\b|\bsss\b|active|suction|depress|standard|radon fan/],
]
/** The kind of system that words name; null for words that name none. */
export const systemTypeNamed = (text: string): SystemType | null =>
  SYSTEM_TYPES.find(([, pattern]) => pattern.test(text.toLowerCase()))?.[0] ?? null

const FOUNDATIONS = [
  ['basement', 'Basement', /base|bsmt|cellar|full|walk-? ?out|\bbm\b/],
  ['crawl-space', 'Crawl space', /crawl|\bcs\b/],
  ['slab', 'Slab', /slab|\bsog\b/],
  ['garage-slab', 'Garage slab', /garage/],
] as const
export type FoundationNamed = { readonly kind: (typeof FOUNDATIONS)[number][0]; readonly name: string }

/** The parts of a foundation that words name: `Bsmt + crawl` has two. */
export const foundationsNamed = (text: string): readonly FoundationNamed[] =>
  FOUNDATIONS.filter(([, , pattern]) => pattern.test(text.toLowerCase())).map(([kind, name]) => ({ kind, name }))

const US = /^(?:us|we|ours?|self|in-? ?house|yes|y)$/i
/** Who put a system in. A name that is not the company's own is another's. */
export function installerNamed(
  text: string,
  companyName: string,
): { readonly installedBy: 'us' | 'another' | 'builder' | 'owner'; readonly installerName: string } {
  const plain = text.toLowerCase().trim()
  const own = companyName.toLowerCase().trim()
  if (US.test(plain) || (own.length > 2 && (plain.includes(own) || (plain.length > 3 && own.startsWith(plain)))))
    return { installedBy: 'us', installerName: '' }
  if (/^builder\b/.test(plain)) return { installedBy: 'builder', installerName: plain === 'builder' ? '' : text }
  if (/^(?:home)?owner\b|\bdiy\b/.test(plain)) return { installedBy: 'owner', installerName: '' }
  return { installedBy: 'another', installerName: text }
}
