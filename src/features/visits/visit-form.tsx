import { CheckField, choicesFrom, SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { MomentFields } from '../../web/moment-fields.tsx'
import { type TypedFields, textIn, textsIn } from '../../web/typed-fields.ts'
import { visitPurposeWords } from '../../web/visit-purpose-words.ts'
import type { VisitHome } from './page-queries.ts'

export type VisitFormProps = {
  readonly home: VisitHome
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  /** The office says who goes; a crew asks for a visit and leaves that to it. */
  readonly mayAssign: boolean
  readonly action: string
  readonly submit: string
  readonly cancel: string
  readonly formKey?: string
  /** Of the visit that is changed. */
  readonly version?: number
}

/** A visit to plan, to ask for, or to change. */
export const VisitForm = (props: VisitFormProps): JSX.Element => {
  const { home, typed, faults, mayAssign } = props
  return (
    <Form
      action={props.action}
      submit={props.submit}
      csrf={props.csrf}
      idempotencyKey={props.formKey}
      version={props.version}
      faults={faults}
      cancel={{ href: props.cancel }}
    >
      {mayAssign ? '' : <p>It goes on the office’s ledger; the office says who goes, and may move it.</p>}
      <SelectField
        name="purpose"
        label="Purpose"
        choices={choicesFrom(visitPurposeWords)}
        value={textIn(typed, 'purpose')}
        empty="Choose"
        faults={faults}
      />
      {home.callbacks.length > 0 ? (
        <SelectField
          name="callback"
          label="For the callback"
          choices={home.callbacks.map(callback => ({
            value: callback.id,
            words: `no. ${callback.number}, ${callback.complaint.replaceAll('-', ' ')}`,
          }))}
          value={textIn(typed, 'callback')}
          empty="None"
          faults={faults}
        />
      ) : (
        ''
      )}
      <MomentFields name="starts" label="When" ahead typed={typed} faults={faults} />
      {mayAssign ? (
        <CheckField
          name="crew"
          label="Who goes"
          hint="They see this home from now on."
          choices={home.people.map(person => ({ value: person.id, words: person.name }))}
          values={textsIn(typed, 'crew')}
          faults={faults}
        />
      ) : (
        ''
      )}
      <Field
        name="instructions"
        label="What to do there, what to bring"
        rows={3}
        value={textIn(typed, 'instructions')}
        optional
        faults={faults}
      />
    </Form>
  )
}
