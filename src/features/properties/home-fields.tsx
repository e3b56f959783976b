import { SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { FieldGroup } from '../../web/form.tsx'
import { buildingUse } from './schemas.ts'
import { spoken } from './words.ts'

export type HomeTyped = Readonly<Record<string, unknown>>
type FieldsProps = { readonly typed: HomeTyped; readonly faults: readonly FieldFault[] }

export const typedText = (typed: HomeTyped, name: string): string => {
  const value = typed[name]
  return typeof value === 'string' || typeof value === 'number' ? String(value) : ''
}
const fieldsOf =
  ({ typed, faults }: FieldsProps) =>
  (name: string) => ({ name, value: typedText(typed, name), faults })

/** Where a home stands. Zone and jurisdiction are found from it, and asked for only where they can't be. */
export function AddressFields(props: FieldsProps): JSX.Element {
  const field = fieldsOf(props)
  return (
    <FieldGroup legend="Address">
      <Field {...field('street')} label="Street and number" autocomplete="off" maxlength={200} />
      <Field {...field('unit')} label="Unit" hint="Like Apt 4" size="short" maxlength={40} />
      <Field {...field('city')} label="Town" autocomplete="off" maxlength={100} />
      <Field {...field('region')} label="State or province" hint="Like MN" size="short" maxlength={60} />
      <Field {...field('postcode')} label="Postcode" autocomplete="off" size="short" maxlength={20} />
      <Field {...field('country')} label="Country" hint="Two capitals, like US" size="short" maxlength={2} />
      <Field
        {...field('zone')}
        label="Time zone"
        hint="Found from the address when left empty; like America/Chicago"
        size="medium"
        maxlength={60}
      />
      <Field
        {...field('jurisdiction')}
        label="Rules of"
        hint="Found from the address when left empty; like US-MN"
        size="short"
        maxlength={6}
      />
    </FieldGroup>
  )
}

/** What the building is. */
export function BuildingFields(props: FieldsProps): JSX.Element {
  const field = fieldsOf(props)
  return (
    <FieldGroup legend="Building">
      <SelectField
        {...field('buildingUse')}
        value={typedText(props.typed, 'buildingUse') || 'home'}
        label="Used as"
        choices={buildingUse.options.map(value => ({ value, words: spoken(value) }))}
      />
      <Field {...field('yearBuilt')} label="Year built" inputmode="numeric" size="short" optional />
      <Field {...field('storeys')} label="Floors above ground" inputmode="numeric" size="short" optional />
    </FieldGroup>
  )
}

/** What a crew must know at the door. */
export function AccessFields(props: FieldsProps): JSX.Element {
  const field = fieldsOf(props)
  return (
    <FieldGroup legend="Getting in">
      <Field {...field('accessNote')} label="Access" hint="Keys, parking, whom to ring" rows={2} maxlength={2000} />
      <Field {...field('gateCode')} label="Gate code" autocomplete="off" size="short" maxlength={60} />
      <Field {...field('dogNote')} label="Dog" maxlength={200} />
      <Field {...field('note')} label="Note" rows={2} maxlength={4000} />
    </FieldGroup>
  )
}
