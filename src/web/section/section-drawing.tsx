import { Table, Text } from '../table.tsx'
import type { SectionFacts } from './section-facts.ts'
import { heightWithLabels, SectionLabels } from './section-labels.tsx'
import type { SectionElement, SectionModel } from './section-model.ts'
import { sectionOf } from './section-of.ts'
import { Area, Earth, Room, Shell } from './section-parts.tsx'
import { SystemParts } from './system-parts.tsx'

export type SectionDrawingProps = {
  facts: SectionFacts
  /** The home's street, for the title. */
  home: string
  /** Prefix of ids within the page; needed where two drawings share one. */
  id?: string
}

/** The house in section with the same facts as a table beside it. */
export function SectionDrawing({ facts, home, id = 'section' }: SectionDrawingProps): JSX.Element {
  const model = sectionOf(facts)
  return (
    <figure class="section">
      <SectionPicture model={model} home={home} id={id} />
      <figcaption>
        <details>
          <summary>The same as a table</summary>
          <SectionTable model={model} />
        </details>
      </figcaption>
    </figure>
  )
}

/** The picture alone, for papers and for pages that bring their own table. */
export function SectionPicture({ model, home, id }: { model: SectionModel; home: string; id: string }): JSX.Element {
  const { width } = model.frame
  return (
    <svg
      class="house"
      viewBox={`0 0 ${width} ${heightWithLabels(model)}`}
      role="img"
      aria-labelledby={`${id}-title ${id}-desc`}
    >
      <title id={`${id}-title`} safe>{`${home} in section`}</title>
      <desc id={`${id}-desc`} safe>
        {model.description}
      </desc>
      <Patterns id={id} />
      <Drawing model={model} id={id} bare={false} />
      <SectionLabels model={model} />
    </svg>
  )
}

/** The house small, for lists: no words in it, its name beside it says what it is. */
export function SectionThumbnail({ facts, id }: { facts: SectionFacts; id: string }): JSX.Element {
  const model = sectionOf(facts)
  const { height, right } = model.frame
  return (
    <svg class="house thumbnail" viewBox={`0 0 ${right + 44} ${height}`} aria-hidden="true" focusable="false">
      <Patterns id={id} />
      <Drawing model={model} id={id} bare />
    </svg>
  )
}

const Drawing = ({ model, id, bare }: { model: SectionModel; id: string; bare: boolean }): JSX.Element => (
  <>
    <Earth model={model} id={id} />
    <Shell model={model} />
    {model.areas.map(area => (
      <Area area={area} id={id} />
    ))}
    {model.elements
      .filter(element => element.kind === 'room')
      .map(room => (
        <Room room={room} id={id} bare={bare} />
      ))}
    <SystemParts model={model} />
  </>
)

const Patterns = ({ id }: { id: string }): JSX.Element => (
  <defs>
    <pattern id={`${id}-soil`} width="22" height="22" patternUnits="userSpaceOnUse">
      <path class="grain" d="M3 5h3M14 9h4M7 16h3M18 19h2" />
    </pattern>
    <pattern id={`${id}-gravel`} width="14" height="11" patternUnits="userSpaceOnUse">
      <circle class="stone" cx="4" cy="4" r="2.6" />
      <circle class="stone" cx="11" cy="8" r="2.2" />
    </pattern>
    <pattern id={`${id}-over`} width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
      <rect class="hatch" width="2.6" height="5" />
    </pattern>
  </defs>
)

const kinds: Record<SectionElement['kind'], string> = {
  area: 'Foundation',
  room: 'Room',
  'suction-point': 'Suction point',
  pipe: 'Pipe',
  fan: 'Fan',
  gauge: 'Gauge',
  discharge: 'Discharge',
}

/** What the picture shows, a line a fact; what is missing is said to be. */
export function SectionTable({ model }: { model: SectionModel }): JSX.Element {
  const columns = [{ words: 'What' }, { words: 'Which' }, { words: 'On record' }, { words: 'When' }]
  const rows = [...model.areas, ...model.elements].map(element => [
    <Text of={kinds[element.kind]} />,
    <Text of={element.label} />,
    <Text of={element.value} />,
    <Text of={element.on || '–'} />,
  ])
  return <Table caption="The house as it is on record" columns={columns} rows={rows} />
}
