import { SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field, NumberField } from '../../web/field.tsx'
import { type HomeTyped, typedText } from './home-fields.tsx'
import { floors, roomKinds, yesOrNo } from './new-home-view.tsx'
import type { FoundationArea } from './rows.ts'
import { foundationKind } from './schemas.ts'
import { spoken } from './words.ts'

export type PartFieldsProps = {
  readonly typed: HomeTyped
  readonly faults: readonly FieldFault[]
  /** Several forms share a page, so the names of a part's own form begin with the end of its id. */
  readonly prefix: string
}

const fieldsOf =
  ({ typed, faults, prefix }: PartFieldsProps) =>
  (name: string) => ({ name: `${prefix}${name}`, value: typedText(typed, `${prefix}${name}`), faults })

/** What a room is: where it lies, what it is used for, what it stands on. */
export function RoomFields(props: PartFieldsProps & { readonly areas: readonly FoundationArea[] }): JSX.Element {
  const field = fieldsOf(props)
  return (
    <>
      <Field {...field('name')} label="Name" hint="Like north bedroom" size="medium" maxlength={100} />
      <SelectField {...field('floor')} label="Floor" empty="Ground floor" choices={floors} />
      <SelectField {...field('roomKind')} label="Kind" empty="Room" choices={roomKinds} />
      <SelectField {...field('livedIn')} label="Lived in" empty="Not known" choices={yesOrNo} />
      {props.areas.length === 0 ? (
        ''
      ) : (
        <SelectField
          {...field('foundationAreaId')}
          label="Above"
          empty="Not known"
          choices={props.areas.map(area => ({ value: area.id, words: area.name }))}
        />
      )}
    </>
  )
}

/** What a part of the foundation is. */
export function AreaFields(props: PartFieldsProps): JSX.Element {
  const field = fieldsOf(props)
  return (
    <>
      <SelectField
        {...field('kind')}
        label="Kind"
        choices={foundationKind.options.map(value => ({ value, words: spoken(value) }))}
      />
      <Field {...field('areaName')} label="What it is called" hint="Like old part" size="medium" maxlength={100} />
      <NumberField {...field('areaM2')} label="Area" unit="m²" optional />
    </>
  )
}
