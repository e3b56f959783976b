import { choicesFrom, RadioField, SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field, NumberField } from '../../web/field.tsx'
import { FieldGroup, Form } from '../../web/form.tsx'
import { MomentFields } from '../../web/moment-fields.tsx'
import { paths } from '../../web/paths.ts'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import type { SystemHome } from './page-queries.ts'
import { installedByWords, typeWords } from './words.ts'

export type SystemFormProps = {
  readonly home: SystemHome
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  readonly formKey: string
}

/** A new system with whatever is known of it: ours, one taken over, or a passive pipe. */
export const SystemForm = ({ home, typed, faults, csrf, formKey }: SystemFormProps): JSX.Element => (
  <Form
    action={paths.newSystem(home.id)}
    submit="Record the system"
    csrf={csrf}
    idempotencyKey={formKey}
    faults={faults}
    draft={`system-${home.id}`}
    cancel={{ href: paths.home(home.id) }}
  >
    <SelectField
      name="type"
      label="Kind of system"
      choices={choicesFrom(typeWords)}
      value={textIn(typed, 'type')}
      empty="Choose"
      faults={faults}
    />
    <RadioField
      name="active"
      label="Driven by"
      choices={[
        { value: 'yes', words: 'A fan' },
        { value: 'no', words: 'Nothing: a passive pipe' },
      ]}
      value={textIn(typed, 'active') || 'yes'}
      faults={faults}
    />
    <Field name="tag" label="Tag number" value={textIn(typed, 'tag')} size="medium" optional faults={faults} />
    <RadioField
      name="installed-by"
      label="Installed by"
      choices={choicesFrom(installedByWords)}
      value={textIn(typed, 'installed-by') || 'us'}
      faults={faults}
    />
    <Field name="installer" label="Name of the installer" value={textIn(typed, 'installer')} optional faults={faults} />
    <MomentFields name="started" label="First start" typed={typed} faults={faults} optional />
    <FieldGroup legend="The fan">
      <Field name="fan-model" label="Model" value={textIn(typed, 'fan-model')} optional faults={faults} />
      <Field
        name="fan-serial"
        label="Serial number"
        value={textIn(typed, 'fan-serial')}
        size="medium"
        optional
        faults={faults}
      />
      <Field name="fan-place" label="Where it hangs" value={textIn(typed, 'fan-place')} optional faults={faults} />
    </FieldGroup>
    <Field
      name="point"
      label="Suction point"
      hint="Where the pipe goes into the ground; more can be added afterwards."
      value={textIn(typed, 'point')}
      optional
      faults={faults}
    />
    <SelectField
      name="area"
      label="In"
      choices={home.areas.map(area => ({ value: area.id, words: area.name }))}
      value={textIn(typed, 'area')}
      empty="Not known"
      faults={faults}
    />
    <NumberField
      name="gauge"
      label="Gauge at start-up"
      unit="in. w.c."
      value={textIn(typed, 'gauge')}
      optional
      faults={faults}
    />
    <Field name="note" label="Note" rows={3} value={textIn(typed, 'note')} optional faults={faults} />
  </Form>
)
