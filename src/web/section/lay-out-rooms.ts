import { dayWords } from '../day-words.ts'
import { quantityWords } from '../quantity-text.tsx'
import { nameLines } from './room-words.ts'
import type { SectionFacts } from './section-facts.ts'
import type { SectionElement } from './section-model.ts'

type Room = SectionFacts['rooms'][number]
export const rowHeight = 68
const leastWidth = 100
// Each further line of a name needs this much more.
const furtherLine = 18

const perRow = (width: number): number => Math.max(1, Math.floor(width / leastWidth))
const rowsOf = (count: number, width: number): number => Math.max(1, Math.ceil(count / Math.min(2, perRow(width))))

/** How high a floor must be to hold these rooms in `width`. */
export function heightFor(rooms: readonly Room[], width: number): number {
  const rows = rowsOf(rooms.length, width)
  const each = width / Math.ceil(rooms.length / rows || 1)
  const lines = Math.max(1, ...rooms.map(room => nameLines(room.name, each, stateOf(room)).length))
  return rows * (rowHeight + (lines - 1) * furtherLine)
}

function stateOf({ latest }: Room): SectionElement['state'] {
  if (latest === null) return 'untested'
  if (latest.outcome === 'at-or-above') return 'at-or-above'
  return latest.outcome === 'below' || latest.outcome === null ? 'recorded' : 'unsettled'
}

function roomElement(room: Room, box: Pick<SectionElement, 'x' | 'y' | 'w' | 'h'>): SectionElement {
  return {
    kind: 'room',
    factId: room.id,
    systemId: null,
    state: stateOf(room),
    label: room.name,
    value: room.latest ? quantityWords(room.latest) : 'not tested yet',
    on: room.latest?.on ? dayWords(room.latest.on) : '',
    ...box,
  }
}

/** Rooms of one floor side by side, one or two a row, filling the box. */
export function layOutRooms(
  rooms: readonly Room[],
  box: Pick<SectionElement, 'x' | 'y' | 'w' | 'h'>,
): readonly SectionElement[] {
  const rows = rowsOf(rooms.length, box.w)
  const inRow = Math.ceil(rooms.length / rows)
  return rooms.map((room, index) => {
    const row = Math.floor(index / inRow)
    const here = Math.min(inRow, rooms.length - row * inRow)
    const w = box.w / here
    return roomElement(room, { x: box.x + (index % inRow) * w, y: box.y + (row * box.h) / rows, w, h: box.h / rows })
  })
}
