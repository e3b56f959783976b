import { RadioField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { FieldGroup, Form } from '../../web/form.tsx'
import { MomentFields } from '../../web/moment-fields.tsx'
import { paths } from '../../web/paths.ts'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import type { TestRow } from './rows.ts'
import { Conditions } from './test-form.tsx'

export type StepProps = {
  readonly test: TestRow
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  readonly unit: string
}

/** What happens to a test after it was set, a form each. */
export const steps = {
  'pick-up': {
    title: 'Pick up the device',
    Body: ({ test, typed, faults, csrf }: StepProps): JSX.Element => (
      <Form
        action={paths.testStep(test.id, 'pick-up')}
        submit="It is picked up"
        csrf={csrf}
        version={test.version}
        faults={faults}
        cancel={{ href: paths.test(test.id) }}
      >
        <MomentFields name="picked-up" label="Picked up" typed={typed} faults={faults} />
        <Field name="by" label="By" value={textIn(typed, 'by')} optional faults={faults} />
        <Conditions typed={typed} faults={faults} />
      </Form>
    ),
  },
  laboratory: {
    title: 'Send to the laboratory',
    Body: ({ test, typed, faults, csrf }: StepProps): JSX.Element => (
      <Form
        action={paths.testStep(test.id, 'laboratory')}
        submit="It is on its way"
        csrf={csrf}
        version={test.version}
        faults={faults}
        cancel={{ href: paths.test(test.id) }}
      >
        <MomentFields name="sent" label="Sent" typed={typed} faults={faults} />
        <Field name="laboratory" label="Laboratory" value={textIn(typed, 'laboratory')} optional faults={faults} />
      </Form>
    ),
  },
  results: {
    title: 'Enter the results',
    Body: ({ test, typed, faults, csrf, unit }: StepProps): JSX.Element => {
      const replaces = test.exposures.some(exposure => exposure.result || exposure.record)
      return (
        <Form
          action={paths.testStep(test.id, 'results')}
          submit="Save the results"
          csrf={csrf}
          version={test.version}
          faults={faults}
          cancel={{ href: paths.test(test.id) }}
        >
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
          <FieldGroup
            legend="Results as reported"
            hint="Leave a field empty whose result is not in; < and > are understood."
          >
            {test.exposures.map((exposure, i) => (
              <Field
                name={`result-${exposure.id}`}
                label={exposure.locationName ?? `Device ${i + 1}`}
                value={textIn(typed, `result-${exposure.id}`)}
                size="short"
                inputmode="decimal"
                autocomplete="off"
                faults={faults}
              />
            ))}
          </FieldGroup>
          <MomentFields name="in" label="Result in" typed={typed} faults={faults} optional />
          {replaces ? (
            <Field name="reason" label="Why it is replaced" value={textIn(typed, 'reason')} faults={faults} />
          ) : (
            ''
          )}
        </Form>
      )
    },
  },
  void: {
    title: 'Void this test',
    Body: ({ test, typed, faults, csrf }: StepProps): JSX.Element => (
      <Form
        action={paths.testStep(test.id, 'void')}
        submit="Void it"
        grave
        csrf={csrf}
        version={test.version}
        faults={faults}
        cancel={{ href: paths.test(test.id) }}
      >
        <p>The test stays in the history, struck through; the home's standing is worked out without it.</p>
        <Field name="reason" label="Why" value={textIn(typed, 'reason')} faults={faults} />
      </Form>
    ),
  },
} as const
export type Step = keyof typeof steps
