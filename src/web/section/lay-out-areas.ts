import type { AreaKind, SectionFacts } from './section-facts.ts'
import type { SectionModel } from './section-model.ts'

type Area = SectionFacts['areas'][number]
export type LaidArea = SectionModel['areas'][number]

const deep = (kind: AreaKind): boolean => kind === 'basement' || kind === 'ground-contact-wall'
// From the deepest at the left to what is at grade at the right, where the pipe rises.
const order: readonly AreaKind[] = ['ground-contact-wall', 'basement', 'crawl-space', 'slab', 'garage-slab']
const crawlHeight = 44

export const areaWords: Record<AreaKind, string> = {
  basement: 'Basement',
  slab: 'Slab on grade',
  'crawl-space': 'Crawlspace',
  'garage-slab': 'Garage slab',
  'ground-contact-wall': 'Walk-out basement',
}

/** How much of the width each area takes: by its size where all are known, else equal parts; never to scale. */
function shares(areas: readonly Area[]): readonly number[] {
  const known = areas.every(area => area.areaM2 !== null)
  const raw = areas.map(area => (known ? (area.areaM2 ?? 1) : 1))
  // Rooms have to fit into what is deep, so it is drawn wider than it may be.
  const least = areas.map(area => (deep(area.kind) ? 0.85 : 0.18))
  const total = raw.reduce((sum, size) => sum + size, 0)
  const lifted = raw.map((size, index) => Math.max(least[index]!, size / total))
  const sum = lifted.reduce((a, b) => a + b, 0)
  return lifted.map(share => share / sum)
}

export const sortedAreas = (areas: readonly Area[]): readonly Area[] =>
  [...areas].sort((a, b) => order.indexOf(a.kind) - order.indexOf(b.kind))

/** The widths of areas in drawing order. */
export const areaWidths = (areas: readonly Area[], width: number): readonly number[] =>
  shares(areas).map(share => share * width)

/** Foundation areas side by side under the ground floor; without any on record, one that is missing. */
export function layOutAreas(
  areas: readonly Area[],
  place: { left: number; width: number; ground: number; depth: number; needsBasement: boolean },
): readonly LaidArea[] {
  const { left, width, ground, depth, needsBasement } = place
  if (areas.length === 0) return [missingArea(left, width, ground, needsBasement ? depth : 24)]
  const widths = areaWidths(areas, width)
  return areas.map((area, index) => {
    const x = left + widths.slice(0, index).reduce((sum, w) => sum + w, 0)
    const h = deep(area.kind) ? depth : area.kind === 'crawl-space' ? crawlHeight : 0
    const size = area.areaM2 === null ? 'size not known' : `${area.areaM2} m²`
    return {
      kind: 'area',
      factId: area.id,
      systemId: null,
      state: 'recorded',
      label: area.name,
      value: `${areaWords[area.kind]}, ${size}`,
      on: '',
      x,
      y: ground,
      w: widths[index] ?? 0,
      h,
      areaKind: area.kind,
      floorY: ground + h,
    }
  })
}

const missingArea = (x: number, w: number, y: number, h: number): LaidArea => ({
  kind: 'area',
  factId: null,
  systemId: null,
  state: 'missing',
  label: 'Foundation',
  value: 'not on record',
  on: '',
  x,
  y,
  w,
  h,
  areaKind: 'unknown',
  floorY: y + h,
})

/** Areas whose own floor has rooms below ground. */
export const isDeep = (area: LaidArea): boolean =>
  area.areaKind === 'basement' || area.areaKind === 'ground-contact-wall' || area.state === 'missing'
