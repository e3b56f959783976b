import { RadioField, SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { DateField, Field } from '../../web/field.tsx'
import { FieldGroup, Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'

type Props = {
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly unit: string
  readonly lots: readonly { readonly id: string; readonly name: string }[]
  readonly csrf: string
  readonly formKey: string
}

/** What a laboratory wrote of one kit. */
export const KitAnswerForm = ({ typed, faults, unit, lots, csrf, formKey }: Props): JSX.Element => (
  <>
    <h1>A laboratory’s answer</h1>
    <p>
      The number of the kit tells the home. A whole table of answers is{' '}
      <a href={paths.newImport()}>read in as a file</a>.
    </p>
    <Form
      action={paths.kitAnswer()}
      submit="Record the answer"
      csrf={csrf}
      idempotencyKey={formKey}
      faults={faults}
      cancel={{ href: paths.chase() }}
    >
      <Field
        name="number"
        label="Number of the kit"
        value={textIn(typed, 'number')}
        size="medium"
        autocomplete="off"
        faults={faults}
      />
      {lots.length > 1 ? (
        <SelectField
          name="deviceId"
          label="Of which lot"
          hint="Needed where kits of several lots have this number"
          choices={lots.map(({ id, name }) => ({ value: id, words: name }))}
          value={textIn(typed, 'deviceId')}
          empty="Whichever it fits"
          faults={faults}
        />
      ) : (
        ''
      )}
      <Field
        name="result"
        label="Result"
        hint="< and > are understood"
        value={textIn(typed, 'result')}
        size="short"
        inputmode="decimal"
        autocomplete="off"
        faults={faults}
      />
      <RadioField
        name="unit"
        label="Unit"
        choices={[
          { value: 'pCi/L', words: 'pCi/L' },
          { value: 'Bq/m3', words: 'Bq/m³' },
        ]}
        value={textIn(typed, 'unit') || unit}
        faults={faults}
      />
      <Field name="laboratory" label="Laboratory" value={textIn(typed, 'laboratory')} optional faults={faults} />
      <FieldGroup legend="When it was in place" hint="Only where the laboratory says other days than we have.">
        <DateField name="exposedFrom" label="From" value={textIn(typed, 'exposedFrom')} optional faults={faults} />
        <DateField name="exposedTo" label="To" value={textIn(typed, 'exposedTo')} optional faults={faults} />
      </FieldGroup>
    </Form>
  </>
)
