import { choicesFrom, RadioField, SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field, NumberField } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { MomentFields } from '../../web/moment-fields.tsx'
import { paths } from '../../web/paths.ts'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import type { Addition } from './read-system-form.ts'
import { componentWords, eventWords, gaugeRoleWords } from './words.ts'

type Props = {
  readonly systemId: string
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  readonly formKey: string
  readonly pressureUnit: 'in. w.c.' | 'Pa'
}

export const additionTitles: Readonly<Record<Addition, string>> = {
  gauge: 'Read the gauge',
  event: 'Record what happened to the system',
  component: 'Add a part',
}

/** One form for each kind of dated fact a system can be given. */
export function AdditionForm({ kind, ...props }: Props & { kind: Addition }): JSX.Element {
  const { systemId, csrf, formKey, faults } = props
  const Fields = fields[kind]
  return (
    <Form
      action={paths.systemStep(systemId, kind)}
      submit="Save it"
      csrf={csrf}
      idempotencyKey={formKey}
      faults={faults}
      cancel={{ href: paths.system(systemId) }}
    >
      <Fields {...props} />
    </Form>
  )
}

const fields: Readonly<Record<Addition, (props: Props) => JSX.Element>> = {
  gauge: ({ typed, faults, pressureUnit }) => (
    <>
      <NumberField
        name="value"
        label="The gauge shows"
        hint="Below zero is written with a minus."
        value={textIn(typed, 'value')}
        faults={faults}
      />
      <RadioField
        name="unit"
        label="Unit"
        choices={[
          { value: 'in. w.c.', words: 'in. w.c.' },
          { value: 'Pa', words: 'Pa' },
        ]}
        value={textIn(typed, 'unit') || pressureUnit}
        faults={faults}
      />
      <SelectField
        name="role"
        label="Read"
        hint="A reading that is to stand for a start-up value is adopted on a form of its own."
        choices={choicesFrom(gaugeRoleWords).filter(({ value }) => value !== 'adopted')}
        value={textIn(typed, 'role') || 'visit'}
        faults={faults}
      />
      <MomentFields name="read" label="When" typed={typed} faults={faults} optional />
      <Field name="note" label="State of the house" rows={2} value={textIn(typed, 'note')} optional faults={faults} />
    </>
  ),
  event: ({ typed, faults }) => (
    <>
      <SelectField
        name="kind"
        label="What happened"
        choices={choicesFrom(eventWords)}
        value={textIn(typed, 'kind')}
        empty="Choose"
        faults={faults}
      />
      <MomentFields name="at" label="When" typed={typed} faults={faults} optional />
      <Field name="note" label="Note" rows={3} value={textIn(typed, 'note')} optional faults={faults} />
    </>
  ),
  component: ({ typed, faults }) => (
    <>
      <SelectField
        name="kind"
        label="Part"
        choices={choicesFrom(componentWords)}
        value={textIn(typed, 'kind')}
        empty="Choose"
        faults={faults}
      />
      <Field name="model" label="Model" value={textIn(typed, 'model')} optional faults={faults} />
      <Field
        name="serial"
        label="Serial number"
        value={textIn(typed, 'serial')}
        size="medium"
        optional
        faults={faults}
      />
      <Field name="lot" label="Lot" value={textIn(typed, 'lot')} size="medium" optional faults={faults} />
      <Field name="place" label="Where it is" value={textIn(typed, 'place')} optional faults={faults} />
      <MomentFields name="installed" label="Installed" typed={typed} faults={faults} optional />
    </>
  ),
}
