import { faultOf, fieldId } from './error-summary.tsx'
import { controlAttributes, Labelled, type Labelled as LabelledProps } from './field.tsx'

export type Choice = { readonly value: string; readonly words: string; readonly hint?: string }
export type ChoiceProps = LabelledProps & { choices: readonly Choice[] }

/** Choices from a table of words, in its order. */
export const choicesFrom = <T extends string>(words: Readonly<Record<T, string>>): Choice[] =>
  (Object.entries(words) as [T, string][]).map(([value, text]) => ({ value, words: text }))

/** One of many, in a list that opens. `empty` is what stands there before anything is chosen. */
export function SelectField(props: ChoiceProps & { value?: string | null; empty?: string }): JSX.Element {
  return (
    <Labelled {...props}>
      <select {...controlAttributes(props)}>
        {props.empty === undefined ? (
          ''
        ) : (
          <option value="" safe>
            {props.empty}
          </option>
        )}
        {props.choices.map(({ value, words }) => (
          <option value={value} selected={value === props.value} safe>
            {words}
          </option>
        ))}
      </select>
    </Labelled>
  )
}

/** One of few, all in sight. */
export const RadioField = (props: ChoiceProps & { value?: string | null }): JSX.Element => (
  <Choices {...props} type="radio" chosen={props.value ? [props.value] : []} />
)

/** Any of few. The names repeat, so that a form sends them as a list. */
export const CheckField = (
  props: ChoiceProps & {
    values?: readonly string[]
    /** Where a name stands more than once on a page: what the id is made of instead. */
    idFrom?: string
  },
): JSX.Element => <Choices {...props} type="checkbox" chosen={props.values ?? []} />

type Chosen = { type: 'radio' | 'checkbox'; chosen: readonly string[]; idFrom?: string }

function Choices(props: ChoiceProps & Chosen): JSX.Element {
  const { name, label, hint, faults, choices, type, chosen } = props
  const id = fieldId(props.idFrom ?? name)
  const fault = faultOf(faults, name)
  const describedBy = [hint ? `${id}-hint` : '', fault ? `${id}-fault` : ''].filter(part => part !== '').join(' ')
  return (
    <fieldset
      class={fault ? 'field faulty choices' : 'field choices'}
      role={type === 'radio' ? 'radiogroup' : undefined}
      aria-describedby={describedBy || undefined}
      aria-invalid={fault && type === 'radio' ? 'true' : undefined}
    >
      <legend safe>{label}</legend>
      {hint ? (
        <p class="hint" id={`${id}-hint`} safe>
          {hint}
        </p>
      ) : (
        ''
      )}
      {choices.map((choice, index) => (
        <label class="choice">
          <input
            type={type}
            name={name}
            value={choice.value}
            id={index === 0 ? id : `${id}-${index}`}
            checked={chosen.includes(choice.value)}
            aria-invalid={fault && type === 'checkbox' ? 'true' : undefined}
          />
          <span safe>{choice.words}</span>
          {choice.hint ? (
            <span class="hint" safe>
              {choice.hint}
            </span>
          ) : (
            ''
          )}
        </label>
      ))}
      {fault ? (
        <p class="fault" id={`${id}-fault`}>
          <strong>Look here:</strong> <span safe>{fault}</span>
        </p>
      ) : (
        ''
      )}
    </fieldset>
  )
}
