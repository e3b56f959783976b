import { CheckField, SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { DateField, Field } from '../../web/field.tsx'
import { FieldGroup, Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { AccessFields, AddressFields, BuildingFields, type HomeTyped, typedText } from './home-fields.tsx'
import { roomRows } from './home-forms.ts'
import { foundationKind, roomKind } from './schemas.ts'
import { floorWords, spoken } from './words.ts'

type NewHomeProps = {
  readonly typed: HomeTyped
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  readonly formKey: string
}

/** A home, its owner, its foundation and its rooms in one go. */
export function NewHomeForm({ typed, faults, csrf, formKey }: NewHomeProps): JSX.Element {
  const field = (name: string) => ({ name, value: typedText(typed, name), faults })
  const areas = typed.areas === undefined ? [] : [typed.areas].flat().map(String)
  return (
    <Form
      action={paths.newHome()}
      submit="Enter the home"
      busy="Entering…"
      csrf={csrf}
      idempotencyKey={formKey}
      faults={faults}
      draft="home-new"
      cancel={{ href: paths.homes() }}
    >
      <AddressFields typed={typed} faults={faults} />
      <FieldGroup legend="Owner" hint="A person whose mail address is known already is taken from there.">
        <Field {...field('ownerName')} label="Name" autocomplete="off" maxlength={200} optional />
        <Field {...field('ownerPhone')} label="Phone" type="tel" autocomplete="off" size="medium" optional />
        <Field {...field('ownerEmail')} label="E-mail" type="email" autocomplete="off" optional />
        <DateField {...field('ownerSince')} label="Owner since" optional />
      </FieldGroup>
      <BuildingFields typed={typed} faults={faults} />
      <CheckField
        name="areas"
        label="Foundation"
        hint="All that it stands on"
        faults={faults}
        values={areas}
        choices={foundationKind.options.map(value => ({ value, words: spoken(value) }))}
      />
      <FieldGroup legend="Rooms to test" hint="More can be added on the home’s page.">
        {firstRooms.map(n => (
          <RoomFields n={n} typed={typed} faults={faults} />
        ))}
        <details open={furtherRooms.some(n => isTyped(n, typed))}>
          <summary>More rooms</summary>
          {furtherRooms.map(n => (
            <RoomFields n={n} typed={typed} faults={faults} />
          ))}
        </details>
      </FieldGroup>
      <AccessFields typed={typed} faults={faults} />
    </Form>
  )
}

const firstRooms = roomRows.slice(0, 2)
const furtherRooms = roomRows.slice(2)
const isTyped = (n: number, typed: HomeTyped) =>
  ['name', 'floor', 'kind', 'livedIn'].some(part => typedText(typed, `room-${n}-${part}`) !== '')

export const floors = [-2, -1, 0, 1, 2, 3, 4].map(floor => ({ value: String(floor), words: floorWords(floor) }))
export const roomKinds = roomKind.options.map(value => ({ value, words: spoken(value) }))
export const yesOrNo = [
  { value: 'yes', words: 'Yes' },
  { value: 'no', words: 'No' },
]

function RoomFields({ n, typed, faults }: { n: number; typed: HomeTyped; faults: readonly FieldFault[] }): JSX.Element {
  const field = (part: string) => ({
    name: `room-${n}-${part}`,
    value: typedText(typed, `room-${n}-${part}`),
    faults,
  })
  return (
    <div class="row">
      <Field {...field('name')} label={`Room ${n}`} size="medium" maxlength={100} />
      <SelectField {...field('floor')} label="Floor" empty="Ground floor" choices={floors} />
      <SelectField {...field('kind')} label="Kind" empty="Room" choices={roomKinds} />
      <SelectField {...field('livedIn')} label="Lived in" empty="Not known" choices={yesOrNo} />
    </div>
  )
}
