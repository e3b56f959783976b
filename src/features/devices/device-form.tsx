import { choicesFrom, SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { DateField, Field, NumberField } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import { kindWords, methodWords } from './words.ts'

export type FormProps = {
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  readonly formKey: string
}

export const DeviceForm = ({ typed, faults, csrf, formKey }: FormProps): JSX.Element => (
  <Form
    action={paths.newDevice()}
    submit="Record the device"
    csrf={csrf}
    idempotencyKey={formKey}
    faults={faults}
    cancel={{ href: paths.devices() }}
  >
    <SelectField
      name="kind"
      label="What it is"
      choices={choicesFrom(kindWords)}
      value={textIn(typed, 'kind')}
      empty="Choose"
      faults={faults}
    />
    <SelectField
      name="method"
      label="Method"
      choices={choicesFrom(methodWords)}
      value={textIn(typed, 'method')}
      empty="Choose"
      faults={faults}
    />
    <Field name="model" label="Model" value={textIn(typed, 'model')} optional faults={faults} />
    <Field
      name="serial"
      label="Serial number"
      hint="Of a monitor"
      value={textIn(typed, 'serial')}
      size="medium"
      optional
      faults={faults}
    />
    <Field
      name="lot"
      label="Lot number"
      hint="Of kits"
      value={textIn(typed, 'lot')}
      size="medium"
      optional
      faults={faults}
    />
    <NumberField name="kitCount" label="Kits in the lot" value={textIn(typed, 'kitCount')} optional faults={faults} />
    <DateField name="expiresOn" label="Usable until" value={textIn(typed, 'expiresOn')} optional faults={faults} />
    <NumberField
      name="sensitivity"
      label="Sensitivity"
      unit="cph per pCi/L"
      value={textIn(typed, 'sensitivity')}
      optional
      faults={faults}
    />
    <DateField
      name="calibratedOn"
      label="Last calibrated"
      value={textIn(typed, 'calibratedOn')}
      optional
      faults={faults}
    />
    <DateField
      name="validUntil"
      label="Calibration holds until"
      value={textIn(typed, 'validUntil')}
      optional
      faults={faults}
    />
  </Form>
)
