import type { LaidArea } from './lay-out-areas.ts'
import { roomLines, wordsStart } from './room-words.ts'
import type { SectionElement, SectionModel } from './section-model.ts'

const n = (value: number): string => String(Math.round(value * 10) / 10)
const points = (...pairs: readonly (readonly [number, number])[]): string =>
  pairs.map(([x, y]) => `${n(x)},${n(y)}`).join(' ')

/** Air, soil and the line between them; the soil falls away beside a wall that stands free. */
export function Earth({ model, id }: { model: SectionModel; id: string }): JSX.Element {
  const { width, height, ground, left } = model.frame
  const walkOut = model.areas.find(area => area.areaKind === 'ground-contact-wall' && area.x === left)
  const west = walkOut ? walkOut.floorY : ground
  const outline = points([0, west], [left, west], [left, ground], [width, ground], [width, height], [0, height])
  return (
    <g class="earth">
      <polygon class="soil" points={outline} />
      <polygon fill={`url(#${id}-soil)`} points={outline} />
      <polyline class="grade" points={points([0, west], [left, west])} />
      <polyline class="grade" points={points([model.frame.right, ground], [width, ground])} />
    </g>
  )
}

/** Roof, outer walls and the floors between storeys. */
export function Shell({ model }: { model: SectionModel }): JSX.Element {
  const { left, right, ridge, eaves, ground, floors } = model.frame
  const middle = (left + right) / 2
  return (
    <g class="shell">
      <rect class="inside" x={n(left)} y={n(eaves)} width={n(right - left)} height={n(ground - eaves)} />
      <polygon class="attic" points={points([left - 14, eaves], [middle, ridge], [right + 14, eaves])} />
      {floors.slice(1).map(y => (
        <line class="floor" x1={n(left)} x2={n(right)} y1={n(y)} y2={n(y)} />
      ))}
      <polyline class="wall" points={points([left, ground], [left, eaves])} />
      <polyline class="wall" points={points([right, ground], [right, eaves])} />
      <line class="floor" x1={n(left)} x2={n(right)} y1={n(ground)} y2={n(ground)} />
      <polyline class="roof" points={points([left - 14, eaves + 5], [middle, ridge], [right + 14, eaves + 5])} />
    </g>
  )
}

const facts = (element: SectionElement) => ({
  'data-kind': element.kind,
  'data-fact': element.factId ?? '',
  'data-state': element.state,
})

/** One foundation area: its air, its walls, its slab or bare soil, and the gravel beneath. */
export function Area({ area, id }: { area: LaidArea; id: string }): JSX.Element {
  const { x, y, w, h, floorY, areaKind } = area
  const bare = areaKind === 'crawl-space'
  return (
    <g class={`area area-${areaKind} ${area.state}`} {...facts(area)}>
      <title safe>{`${area.label}: ${area.value}`}</title>
      <rect class="area-air" x={n(x)} y={n(y)} width={n(w)} height={n(h)} />
      {area.state === 'missing' || bare ? (
        ''
      ) : (
        <rect fill={`url(#${id}-gravel)`} x={n(x)} y={n(floorY + 5)} width={n(w)} height="17" />
      )}
      <path class="area-wall" d={`M${n(x)} ${n(y)}V${n(floorY)}M${n(x + w)} ${n(y)}V${n(floorY)}`} />
      {areaKind === 'ground-contact-wall' ? (
        <path class="door" d={`M${n(x)} ${n(floorY - 44)}V${n(floorY - 2)}`} />
      ) : (
        ''
      )}
      {bare ? (
        <path class="membrane" d={membrane(x, w, floorY)} />
      ) : (
        <rect class="slab" x={n(x)} y={n(floorY - 1)} width={n(w)} height="7" />
      )}
    </g>
  )
}

function membrane(x: number, w: number, y: number): string {
  const waves = Math.max(2, Math.round(w / 24))
  return `M${n(x)} ${n(y)}${`q${n(w / waves / 2)} -6 ${n(w / waves)} 0`.repeat(waves)}`
}

/** A room with its latest result and day; dotted when it was never tested. */
export function Room({ room, id, bare }: { room: SectionElement; id: string; bare: boolean }): JSX.Element {
  const { x, y, w, h } = room
  const middle = y + h / 2
  const lines = roomLines(room)
  return (
    <g class={`room room-${room.state}`} {...facts(room)}>
      <title safe>{[room.label, room.value, room.on].filter(text => text !== '').join(', ')}</title>
      <rect x={n(x + 4)} y={n(y + 4)} width={n(w - 8)} height={n(h - 8)} />
      {room.state === 'at-or-above' ? (
        <rect class="over" fill={`url(#${id}-over)`} x={n(x + 4)} y={n(y + 4)} width="9" height={n(h - 8)} />
      ) : (
        ''
      )}
      {bare
        ? ''
        : lines.map((line, index) => (
            <text
              class={line.result ? 'result' : 'name'}
              x={n(x + wordsStart(room.state))}
              y={n(middle + 5 + (index - (lines.length - 1) / 2) * 17.5)}
              safe
            >
              {`${line.words} `}
            </text>
          ))}
    </g>
  )
}
