import type { SectionElement, SectionModel } from './section-model.ts'

const n = (value: number): string => String(Math.round(value * 10) / 10)

const facts = (element: SectionElement) => ({
  'data-kind': element.kind,
  'data-fact': element.factId ?? '',
  'data-state': element.state,
  'data-system': element.systemId ?? undefined,
})
const said = ({ label, value, on }: SectionElement): string => `${label}: ${value}${on ? `, ${on}` : ''}`

type Drawn = { element: SectionElement; model: SectionModel }

/** The way of the air: up from each suction point, along under the ground floor, up the riser and out. */
function Pipe({ element, model }: Drawn): JSX.Element {
  const { runY } = model.frame
  const pits = model.elements.filter(each => each.kind === 'suction-point' && each.systemId === element.systemId)
  const branches = pits.map(pit => `M${n(pit.x)} ${n(pit.y)}V${n(runY)}H${n(element.x)}`).join('')
  const way = `${branches}M${n(element.x)} ${n(runY)}V${n(element.y)}`
  return (
    <g class={`pipe ${element.state}`} {...facts(element)}>
      <title safe>{said(element)}</title>
      <path class="casing" d={way} />
      <path class="bore" d={way} />
    </g>
  )
}

function Pit({ element }: Drawn): JSX.Element {
  const { x, y, w, h } = element
  return (
    <g class={`pit ${element.state}`} {...facts(element)}>
      <title safe>{said(element)}</title>
      <path d={`M${n(x - w / 2)} ${n(y - 4)}a${n(w / 2)} ${n(h)} 0 0 0 ${n(w)} 0Z`} />
    </g>
  )
}

function Fan({ element }: Drawn): JSX.Element {
  const { x, y, w, h } = element
  return (
    <g class={`fan ${element.state}`} {...facts(element)}>
      <title safe>{said(element)}</title>
      <path
        d={`M${n(x - 4)} ${n(y - h / 2)}h8l${n(w / 2 - 4)} 6v${n(h - 12)}l-${n(w / 2 - 4)} 6h-8l-${n(w / 2 - 4)} -6v-${n(h - 12)}Z`}
      />
      <path class="blade" d={`M${n(x - 5)} ${n(y + 3)}L${n(x)} ${n(y - 4)}L${n(x + 5)} ${n(y + 3)}`} />
    </g>
  )
}

/** A U-tube: liquid at two heights when there is a reading, an empty tube when there is none. */
function Gauge({ element, model }: Drawn): JSX.Element {
  const { y, h } = element
  // On the free side of its pipe: into the house, or away from the outer wall.
  const x = element.x > model.frame.right ? element.x : element.x - 22
  const tube = `M${n(x + 6)} ${n(y - h / 2)}v${n(h - 5)}a5 5 0 0 0 10 0v-${n(h - 5)}`
  const liquid = `M${n(x + 6)} ${n(y - 3)}v${n(h / 2 - 2)}a5 5 0 0 0 10 0v-${n(h / 2 - 9)}`
  return (
    <g class={`gauge ${element.state}`} {...facts(element)}>
      <title safe>{said(element)}</title>
      <path class="tube-back" d={`${tube}Z`} />
      <path class="tube" d={tube} />
      {element.state === 'recorded' ? <path class="liquid" d={liquid} /> : ''}
    </g>
  )
}

function Discharge({ element }: Drawn): JSX.Element {
  const { x, y } = element
  return (
    <g class={`discharge ${element.state}`} {...facts(element)}>
      <title safe>{said(element)}</title>
      <path d={`M${n(x)} ${n(y - 4)}v-14m-5 5l5 -5l5 5`} />
    </g>
  )
}

const drawings = { 'suction-point': Pit, pipe: Pipe, fan: Fan, gauge: Gauge, discharge: Discharge } as const

/** Every part of every system, pipes first, so that what hangs on them lies over them. */
export function SystemParts({ model }: { model: SectionModel }): JSX.Element {
  const order = ['pipe', 'suction-point', 'fan', 'discharge', 'gauge'] as const
  return (
    <g class="systems">
      {order.flatMap(kind => {
        const Part = drawings[kind]
        return model.elements
          .filter(each => each.kind === kind)
          .map(element => <Part element={element} model={model} />)
      })}
    </g>
  )
}
