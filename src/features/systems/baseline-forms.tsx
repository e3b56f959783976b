import { baselineWords } from '../../domain/baseline/baseline.ts'
import { baselineOf } from '../../standing/baseline.ts'
import { choicesFrom, RadioField, SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field, NumberField } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { MomentFields } from '../../web/moment-fields.tsx'
import { paths } from '../../web/paths.ts'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import type { SystemRow } from './rows.ts'
import { typeWords } from './words.ts'

export type BaselineFormProps = {
  readonly system: SystemRow
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  readonly formKey: string
  readonly pressureUnit: 'in. w.c.' | 'Pa'
  /** Who fills it in. */
  readonly reader: string
}

export const baselineSteps = ['baseline', 'baseline-undo', 'fan'] as const
export type BaselineStep = (typeof baselineSteps)[number]

export const baselineTitles: Readonly<Record<BaselineStep, string>> = {
  baseline: 'Adopt a baseline',
  'baseline-undo': 'Take the adopted baseline back',
  fan: 'Put in a fan',
}

const submits: Readonly<Record<BaselineStep, string>> = {
  baseline: 'Adopt it',
  'baseline-undo': 'Take it back',
  fan: 'The fan is in',
}

export function BaselineForm({ step, ...props }: BaselineFormProps & { step: BaselineStep }): JSX.Element {
  const { system, csrf, formKey, faults } = props
  const Fields = fields[step]
  return (
    <Form
      action={paths.systemStep(system.id, step)}
      submit={submits[step]}
      csrf={csrf}
      {...(step === 'baseline' ? { idempotencyKey: formKey } : { version: system.version })}
      faults={faults}
      grave={step === 'baseline-undo'}
      cancel={{ href: paths.system(system.id) }}
    >
      <Fields {...props} />
    </Form>
  )
}

const GaugeNow = ({ typed, faults, pressureUnit, optional = false }: BaselineFormProps & { optional?: boolean }) => (
  <>
    <NumberField
      name="value"
      label="The gauge shows"
      value={textIn(typed, 'value')}
      optional={optional}
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
  </>
)

const ReadBy = ({ typed, faults, reader }: BaselineFormProps) => (
  <Field
    name="read-by"
    label="Read by"
    value={'read-by' in typed ? textIn(typed, 'read-by') : reader}
    optional
    faults={faults}
  />
)

const Held = ({ system: { baseline, zone } }: BaselineFormProps): JSX.Element =>
  baseline ? <span safe>{`Until now: ${baselineWords(baselineOf(baseline, zone))}. It stays on record. `}</span> : ''

const fields: Readonly<Record<BaselineStep, (props: BaselineFormProps) => JSX.Element>> = {
  baseline: props => (
    <>
      <p>
        <Held {...props} />
        Later readings are held against this one, and it is said everywhere that it was adopted and is no start-up
        reading: a system that is weak today looks well beside it.
      </p>
      <GaugeNow {...props} />
      <MomentFields name="read" label="Read" typed={props.typed} faults={props.faults} optional />
      <ReadBy {...props} />
      <Field
        name="reason"
        label="Why it may stand for the start-up value"
        hint="For example: taken over, no start-up value on the label."
        value={textIn(props.typed, 'reason')}
        faults={props.faults}
      />
    </>
  ),
  'baseline-undo': ({ system: { baseline, zone }, faults }) => (
    <>
      <p safe>
        {`${baseline ? baselineWords(baselineOf(baseline, zone)) : ''}. It stays in the history, struck through; what held before it holds again.`}
      </p>
      <Field name="reason" label="Why" faults={faults} />
    </>
  ),
  fan: props => (
    <>
      <p>
        The passive pipe becomes a system that is driven by a fan from its start on. Results from before it say nothing
        of the system any more.
      </p>
      <Field name="fan-model" label="Model" value={textIn(props.typed, 'fan-model')} optional faults={props.faults} />
      <Field
        name="fan-serial"
        label="Serial number"
        value={textIn(props.typed, 'fan-serial')}
        size="medium"
        optional
        faults={props.faults}
      />
      <Field
        name="fan-place"
        label="Where it hangs"
        value={textIn(props.typed, 'fan-place')}
        optional
        faults={props.faults}
      />
      <SelectField
        name="type"
        label="Kind of system from now on"
        choices={choicesFrom(typeWords).filter(({ value }) => value !== 'passive-stack')}
        value={textIn(props.typed, 'type') || props.system.type}
        empty="Choose"
        faults={props.faults}
      />
      <MomentFields name="started" label="Started" typed={props.typed} faults={props.faults} optional />
      <p>What the gauge shows with the fan running becomes the baseline, marked as adopted.</p>
      <GaugeNow {...props} optional />
      <ReadBy {...props} />
    </>
  ),
}
