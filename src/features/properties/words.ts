// Words of the trade that are not their code with spaces.
const said: Record<string, string> = {
  'real-estate': 'Real-estate',
  'post-mitigation': 'Post-mitigation',
  'pre-mitigation': 'Pre-mitigation',
  'follow-up': 'Follow-up',
  'newly-lived-in': 'Part of the home newly lived in',
  'heating-change': 'Heating changed',
  'ventilation-change': 'Ventilation changed',
  'new-opening': 'New opening in a wall or floor',
  'quake-or-blasting': 'Earthquake or blasting nearby',
  sale: 'Sold',
  'sub-slab-suction': 'Sub-slab suction',
  'sub-membrane-suction': 'Sub-membrane suction',
  'block-wall-suction': 'Block-wall suction',
  'drain-tile-suction': 'Drain-tile suction',
  'heat-recovery-ventilation': 'Heat-recovery ventilation',
  'public-building': 'Public building',
  'follow-up-test': 'Follow-up test',
  'post-mitigation-test': 'Post-mitigation test',
  'pick-up': 'Device to pick up',
  'laboratory-result': 'Result from the laboratory',
  'signed-off': 'Signed off',
  'first-start': 'First start',
  off: 'Switched off',
  on: 'Switched on',
  'co-owner': 'Second owner',
  'property-manager': 'Property manager',
  'buyers-agent': 'Buyer’s agent',
  'sellers-agent': 'Seller’s agent',
}

/** A code as people say it: `crawl-space` → `Crawl space`. */
export const spoken = (code: string): string =>
  said[code] ?? code.charAt(0).toUpperCase() + code.slice(1).replaceAll('-', ' ')

/** A floor as it is called: -1 basement, 0 ground floor, 1 the first above it. */
export function floorWords(floor: number): string {
  if (floor === 0) return 'Ground floor'
  if (floor < 0) return floor === -1 ? 'Basement' : `Basement ${-floor}`
  return `Floor ${floor} above ground`
}
