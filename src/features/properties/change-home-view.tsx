import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { AccessFields, AddressFields, BuildingFields, type HomeTyped, typedText } from './home-fields.tsx'

type ChangeProps = {
  readonly id: string
  readonly version: number
  readonly typed: HomeTyped
  readonly faults: readonly FieldFault[]
  readonly voidFaults: readonly FieldFault[]
  readonly csrf: string
}

/** Corrects a home; below it, apart, the way out of use. */
export function ChangeHomeForms(props: ChangeProps): JSX.Element {
  const { id, version, typed, faults, voidFaults, csrf } = props
  return (
    <>
      <Form
        action={paths.changeHome(id)}
        submit="Save the correction"
        csrf={csrf}
        version={version}
        faults={faults}
        draft={`home-${id}`}
        cancel={{ href: paths.home(id) }}
      >
        <AddressFields typed={typed} faults={faults} />
        <BuildingFields typed={typed} faults={faults} />
        <AccessFields typed={typed} faults={faults} />
        <Field
          name="reason"
          value={typedText(typed, 'reason')}
          label="Why it changes"
          hint="Kept with the old values, like: typing mistake"
          maxlength={500}
          faults={faults}
        />
      </Form>
      <details class="grave" open={voidFaults.length > 0}>
        <summary>Take this home out of use</summary>
        <p>It is listed and found no more, owes nothing, and nobody is reminded of it. What was recorded stays.</p>
        <Form
          action={`${paths.changeHome(id)}/void`}
          submit="Take out of use"
          csrf={csrf}
          version={version}
          faults={voidFaults}
          grave
          id="void"
        >
          <Field name="voidReason" label="Why" maxlength={500} faults={voidFaults} />
        </Form>
      </details>
    </>
  )
}
