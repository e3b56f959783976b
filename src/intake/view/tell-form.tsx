import { RadioField, SelectField } from '../../web/choice-field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import type { Question, Reading, ReadingPart } from '../monitor-file/reading.ts'
import { choicesOf, partWords } from './part-choices.ts'

export type TellProps = {
  readonly importId: string
  readonly version: number
  readonly csrf: string
  readonly reading: Reading
  readonly zone: string
  readonly part: ReadingPart
  readonly question?: Question
}

/** Few choices stand in sight, many in a list that opens. */
const MOST_IN_SIGHT = 6

/** One part of the reading to answer or to change; the page comes back with the file read so. */
export function TellForm({ importId, version, csrf, reading, zone, part, question }: TellProps): JSX.Element {
  const choices = choicesOf(part, reading, zone, question).map(({ value, words }) => ({
    value: JSON.stringify(value),
    words,
  }))
  const now = question ? null : JSON.stringify(reading[part])
  const field = { name: 'value', label: question?.text ?? partWords[part], choices, value: now }
  return (
    <section class={question ? 'tell asked' : 'tell'} id={`tell-${part}`}>
      <Form
        id={`form-${part}`}
        action={paths.importStep(importId, 'tell')}
        submit="Read it so"
        busy="Reading…"
        csrf={csrf}
        version={version}
        cancel={question ? undefined : { href: paths.import(importId) }}
      >
        <input type="hidden" name="part" value={part} />
        {choices.length > MOST_IN_SIGHT ? <SelectField {...field} /> : <RadioField {...field} />}
      </Form>
    </section>
  )
}
