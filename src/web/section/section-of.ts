import { areaWidths, isDeep, type LaidArea, layOutAreas, sortedAreas } from './lay-out-areas.ts'
import { heightFor, layOutRooms, rowHeight } from './lay-out-rooms.ts'
import { layOutSystem } from './lay-out-system.ts'
import type { SectionFacts } from './section-facts.ts'
import type { SectionElement, SectionFrame, SectionModel } from './section-model.ts'

const width = 400
const left = 30
const ridge = 42
const roof = 62
const joist = 22
const soil = 58

/** The room that risers of so many systems take beside the wall. */
const shaftFor = (count: number): number => (count === 0 ? 0 : 12 + 22 * count)

const onFloor = (facts: SectionFacts, floor: number) => facts.rooms.filter(room => room.floor === floor)

/** The section of a home from its own facts: a pure layout in which each fact is one element and nothing is made up. */
export function sectionOf(facts: SectionFacts): SectionModel {
  const areas = sortedAreas(facts.areas)
  const outside = facts.systems.filter(system => system.pipe?.route === 'outside').length
  // Pipes on the outer wall stand between the house and what is written beside it.
  const right = outside === 0 ? 278 : 256
  const shaft = shaftFor(facts.systems.length)
  const inside = right - left - shaftFor(facts.systems.length - outside)
  const highest = Math.max((facts.storeys ?? 1) - 1, 0, ...facts.rooms.map(room => room.floor))
  const eaves = ridge + roof
  const heights = Array.from({ length: highest + 1 }, (_, index) => heightFor(onFloor(facts, highest - index), inside))
  const floors = heights.map((_, index) => eaves + heights.slice(0, index).reduce((sum, h) => sum + h, 0))
  const ground = eaves + heights.reduce((sum, h) => sum + h, 0)
  const below = facts.rooms.filter(room => room.floor < 0)
  const depth = depthOf(below, areas, { whole: right - left, shaft })
  const needsBasement = below.length > 0
  const laid = layOutAreas(areas, { left, width: right - left, ground, depth, needsBasement })
  const bottom = Math.max(...laid.map(area => area.floorY))
  const frame: SectionFrame = {
    width,
    height: bottom + soil,
    left,
    right,
    ridge,
    eaves,
    ground,
    floors,
    runY: ground + (bottom > ground ? 13 : 18),
    risers: facts.systems.map((system, index) => ({
      systemId: system.id,
      outside: system.pipe?.route === 'outside',
      x: system.pipe?.route === 'outside' ? right + 14 + 24 * index : right - 14 - 22 * index,
    })),
  }
  const rooms = [
    ...floors.flatMap((y, index) =>
      layOutRooms(onFloor(facts, highest - index), { x: left, y, w: inside, h: heights[index] ?? rowHeight }),
    ),
    ...roomsBelow(below, laid, shaft),
  ]
  const elements = [...rooms, ...facts.systems.flatMap(system => layOutSystem(system, frame, laid))]
  return { frame, areas: laid, elements, description: descriptionOf([...laid, ...elements]) }
}

/** Deep enough for the rooms below ground in the widest area they can stand in. */
function depthOf(
  rooms: SectionFacts['rooms'],
  areas: SectionFacts['areas'],
  at: { whole: number; shaft: number },
): number {
  const widths = areaWidths(areas, at.whole)
  const deepWidth = widths.filter((_, index) => ['basement', 'ground-contact-wall'].includes(areas[index]!.kind))
  const room = (deepWidth.length === 0 ? at.whole : Math.max(...deepWidth)) - at.shaft
  return heightFor(rooms, room) + joist
}

/** Rooms under ground stand in their own area, else in the first that is deep enough, else in the widest. */
function roomsBelow(rooms: SectionFacts['rooms'], areas: readonly LaidArea[], shaft: number): SectionElement[] {
  const home = areas.find(isDeep) ?? areas[0]!
  const areaOf = (id: string | null) => areas.find(area => area.factId === id && area.h > joist) ?? home
  return areas.flatMap(area => {
    const here = rooms.filter(room => areaOf(room.areaId) === area)
    const box = { x: area.x, y: area.y + joist, w: area.w - shaft, h: Math.max(area.h - joist, rowHeight) }
    return here.length === 0 ? [] : [...layOutRooms(here, box)]
  })
}

const sentence = ({ label, value, on }: SectionElement): string => `${label}: ${value}${on ? `, ${on}` : ''}.`

const descriptionOf = (elements: readonly SectionElement[]): string =>
  `A cut through the house from the roof to the soil, not to scale. ${elements.map(sentence).join(' ')}`
