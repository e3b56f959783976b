import type { FirstQuestion } from '../../domain/first-questions/call-facts.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import type { Answer } from './queries.ts'

/** A question as it is put into a form: its words, and what its answers mean where it is one of ours. */
export type Asked = Pick<FirstQuestion, 'ask'> & Partial<FirstQuestion>

const mostAsked = 3
const places = Array.from({ length: mostAsked }, (_, i) => i + 1)

/** The questions a form was sent with. */
export const askedIn = (typed: TypedFields): Asked[] =>
  places.flatMap(n => (textIn(typed, `question-${n}`) ? [{ ask: textIn(typed, `question-${n}`).slice(0, 500) }] : []))

/** Those that were answered, with what was said. */
export const answersIn = (typed: TypedFields): Answer[] =>
  places.flatMap(n => {
    const [question, answer] = [
      textIn(typed, `question-${n}`).slice(0, 500),
      textIn(typed, `answer-${n}`).slice(0, 1000),
    ]
    return question && answer ? [{ question, answer }] : []
  })

/** Three questions in their order, each with its answer to type, why it is asked and what an answer points to. */
export const AnswerFields = (props: {
  asked: readonly Asked[]
  typed: TypedFields
  faults: readonly FieldFault[]
  autofocus?: boolean
}): JSX.Element => (
  <ol class="questions">
    {props.asked.map((question, index) => (
      <li>
        <input type="hidden" name={`question-${index + 1}`} value={question.ask} />
        <Field
          name={`answer-${index + 1}`}
          label={question.ask}
          hint={question.why}
          value={textIn(props.typed, `answer-${index + 1}`)}
          rows={2}
          maxlength={1000}
          autofocus={props.autofocus && index === 0}
          faults={props.faults}
        />
        <Meanings question={question} />
      </li>
    ))}
  </ol>
)

/** What each answer points to, and where that is published. */
export function Meanings({ question: { meanings, source } }: { question: Asked }): JSX.Element {
  if (!meanings) return ''
  return (
    <>
      <dl class="meanings">
        {meanings.map(({ answer, means }) => (
          <div>
            <dt safe>{answer}</dt>
            <dd safe>{means}</dd>
          </div>
        ))}
      </dl>
      <p class="small source" safe>
        {source ?? 'Common practice, no source.'}
      </p>
    </>
  )
}
