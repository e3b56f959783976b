import type { SectionElement, SectionModel } from './section-model.ts'
import { wrapWords } from './wrap-words.ts'

type Line = { readonly words: string; readonly result: boolean }
type Label = { readonly element: SectionElement; readonly at: number; readonly lines: readonly Line[] }

const named = new Set(['fan', 'gauge', 'discharge'])
const lineHeight = 17
// What the right margin takes, in characters.
const room = 14

const linesOf = ({ label, value, on }: SectionElement): readonly Line[] => [
  { words: label, result: false },
  ...wrapWords(value, room, 4).map(words => ({ words, result: true })),
  ...(on === '' ? [] : [{ words: on, result: false }]),
]

/** Labels in the right margin beside what they name, pushed apart where they would meet. */
export function labelsOf(model: SectionModel): readonly Label[] {
  const wanted = model.elements
    .filter(element => named.has(element.kind))
    .map(element => ({ element, lines: linesOf(element) }))
    .sort((a, b) => a.element.y - b.element.y)
  let free = 14
  return wanted.map(({ element, lines }) => {
    const at = Math.max(free, element.y - 4)
    free = at + lines.length * lineHeight + 8
    return { element, lines, at }
  })
}

/** How high the picture is with everything that is written beside it. */
export const heightWithLabels = (model: SectionModel): number =>
  Math.max(model.frame.height, ...labelsOf(model).map(({ at, lines }) => at + lines.length * lineHeight + 4))

/** Fan, gauge and discharge named, each with a hair line to its part. */
export function SectionLabels({ model }: { model: SectionModel }): JSX.Element {
  const x = Math.max(model.frame.right + 24, ...model.frame.risers.map(riser => (riser.outside ? riser.x + 32 : 0)))
  return (
    <g class="labels">
      {labelsOf(model).map(({ element, at, lines }) => (
        <g class={`label ${element.state}`}>
          <path class="leader" d={`M${element.x + 9} ${element.y}L${x - 4} ${at}`} />
          {lines.map((line, index) => (
            <text
              class={line.result ? 'result' : 'name'}
              x={String(x)}
              y={String(Math.round(at + 5 + index * lineHeight))}
              safe
            >
              {`${line.words} `}
            </text>
          ))}
        </g>
      ))}
    </g>
  )
}
