import type { SectionElement, SectionModel } from './section-model.ts'

type Label = { readonly element: SectionElement; readonly at: number; readonly lines: readonly string[] }

const named = new Set(['fan', 'gauge', 'discharge'])
const room = 14
const fitted = (text: string): string => (text.length <= room ? text : `${text.slice(0, room - 1).trimEnd()}…`)

/** Labels in the right margin beside what they name, pushed apart where they would meet. */
export function labelsOf(model: SectionModel): readonly Label[] {
  const wanted = model.elements
    .filter(element => named.has(element.kind))
    .map(element => ({
      element,
      lines: [element.label, fitted(element.value), element.on].filter(line => line !== ''),
    }))
    .sort((a, b) => a.element.y - b.element.y)
  let free = 14
  return wanted.map(({ element, lines }) => {
    const at = Math.max(free, element.y - 4)
    free = at + lines.length * 17 + 8
    return { element, lines, at }
  })
}

/** Fan, gauge and discharge named, each with a hair line to its part. */
export function SectionLabels({ model }: { model: SectionModel }): JSX.Element {
  const x = Math.max(model.frame.right + 24, ...model.frame.risers.map(riser => (riser.outside ? riser.x + 24 : 0)))
  return (
    <g class="labels">
      {labelsOf(model).map(({ element, at, lines }) => (
        <g class={`label ${element.state}`}>
          <path class="leader" d={`M${element.x + 9} ${element.y}L${x - 4} ${at}`} />
          {lines.map((line, index) => (
            <text class={index === 1 ? 'result' : 'name'} x={String(x)} y={String(at + 5 + index * 17)} safe>
              {line}
            </text>
          ))}
        </g>
      ))}
    </g>
  )
}
