import { SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field, NumberField } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { List } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { type HomeTyped, typedText } from './home-fields.tsx'
import { floors, roomKinds } from './new-home-view.tsx'
import type { Property, TestLocation } from './rows.ts'
import { foundationKind } from './schemas.ts'
import { floorWords, spoken } from './words.ts'

export type RoomsBack = {
  /** Which form came back with faults. */
  readonly form: 'room' | 'area'
  readonly typed: HomeTyped
  readonly faults: readonly FieldFault[]
}
type RoomsProps = {
  readonly home: Property
  readonly csrf: string
  readonly keys: readonly [string, string]
  readonly back: RoomsBack | null
}

/** The rooms that are tested and what the house stands on; each can be added and taken out. */
export function RoomsView({ home, csrf, keys, back }: RoomsProps): JSX.Element {
  const backOf = (form: RoomsBack['form']) => (back?.form === form ? back : { typed: {}, faults: [] })
  return (
    <>
      <h1>Rooms and foundation</h1>
      <List
        title="Rooms"
        order="as entered"
        count={home.testLocations.length}
        noun={['room', 'rooms']}
        items={home.testLocations.map(room => <Room home={home} room={room} csrf={csrf} />)}
        empty={{ text: 'Rooms where radon is measured will stand here; add the first one below.' }}
      />
      <RoomForm home={home} csrf={csrf} formKey={keys[0]} {...backOf('room')} />
      <List
        title="Foundation"
        order="as entered"
        count={home.foundationAreas.length}
        noun={['area', 'areas']}
        items={home.foundationAreas.map(area => (
          <div class="row">
            <p safe>{[area.name, spoken(area.kind), area.areaM2 && `${area.areaM2} m²`].filter(Boolean).join(', ')}</p>
            <Remove
              action={`${paths.homeRooms(home.id)}/areas/${area.id}`}
              version={area.version}
              csrf={csrf}
              what={area.name}
            />
          </div>
        ))}
        empty={{ text: 'What the house stands on will stand here; add the first area below.' }}
      />
      <AreaForm home={home} csrf={csrf} formKey={keys[1]} {...backOf('area')} />
    </>
  )
}

function Room({ home, room, csrf }: { home: Property; room: TestLocation; csrf: string }): JSX.Element {
  const lived = room.livedIn === null ? 'not known whether lived in' : room.livedIn ? 'lived in' : 'not lived in'
  return (
    <div class="row">
      <p safe>{[room.name, floorWords(room.floor), spoken(room.roomKind), lived].join(', ')}</p>
      <CorrectRoom home={home} room={room} csrf={csrf} />
      <Remove action={`${paths.homeRooms(home.id)}/${room.id}`} version={room.version} csrf={csrf} what={room.name} />
    </div>
  )
}

const Remove = (props: { action: string; version: number; csrf: string; what: string }): JSX.Element => (
  <details class="grave">
    <summary>
      Take out<span class="unseen" safe>{`: ${props.what}`}</span>
    </summary>
    <Form action={props.action} submit="Take out" csrf={props.csrf} version={props.version} grave>
      <Field name={`reason-${props.action.slice(-12)}`} label="Why" maxlength={500} />
    </Form>
  </details>
)

type FormProps = Omit<RoomsBack, 'form'> & { readonly home: Property; readonly csrf: string; readonly formKey: string }

function RoomForm({ home, csrf, formKey, typed, faults }: FormProps): JSX.Element {
  return (
    <Form
      action={paths.homeRooms(home.id)}
      submit="Add the room"
      csrf={csrf}
      idempotencyKey={formKey}
      faults={faults}
      id="add-room"
    >
      <h2>Add a room</h2>
      <RoomFields home={home} typed={typed} faults={faults} prefix="" />
    </Form>
  )
}

function CorrectRoom({ home, room, csrf }: { home: Property; room: TestLocation; csrf: string }): JSX.Element {
  const livedIn = room.livedIn === null ? '' : room.livedIn ? 'yes' : 'no'
  const prefix = `${room.id.slice(-6)}-`
  const typed = Object.fromEntries(
    Object.entries({ ...room, livedIn }).map(([name, value]) => [`${prefix}${name}`, value]),
  )
  return (
    <details>
      <summary>
        Correct<span class="unseen" safe>{`: ${room.name}`}</span>
      </summary>
      <Form
        action={`${paths.homeRooms(home.id)}/${room.id}/correction`}
        submit="Save the correction"
        csrf={csrf}
        version={room.version}
      >
        <RoomFields home={home} typed={typed} faults={[]} prefix={prefix} />
        <Field name={`${prefix}reason`} label="Why it changes" maxlength={500} />
      </Form>
    </details>
  )
}

type RoomFieldsProps = Omit<RoomsBack, 'form'> & { readonly home: Property; readonly prefix: string }

// Several of these forms share a page, so the names of a room's own form begin with the end of its id.
function RoomFields({ home, typed, faults, prefix }: RoomFieldsProps): JSX.Element {
  const field = (name: string) => ({
    name: `${prefix}${name}`,
    value: typedText(typed, `${prefix}${name}`),
    faults,
  })
  return (
    <>
      <Field {...field('name')} label="Name" hint="Like north bedroom" size="medium" maxlength={100} />
      <SelectField {...field('floor')} label="Floor" empty="Ground floor" choices={floors} />
      <SelectField {...field('roomKind')} label="Kind" empty="Room" choices={roomKinds} />
      <SelectField
        {...field('livedIn')}
        label="Lived in"
        empty="Not known"
        choices={[
          { value: 'yes', words: 'Yes' },
          { value: 'no', words: 'No' },
        ]}
      />
      {home.foundationAreas.length === 0 ? (
        ''
      ) : (
        <SelectField
          {...field('foundationAreaId')}
          label="Above"
          empty="Not known"
          choices={home.foundationAreas.map(area => ({ value: area.id, words: area.name }))}
        />
      )}
    </>
  )
}

function AreaForm({ home, csrf, formKey, typed, faults }: FormProps): JSX.Element {
  const field = (name: string) => ({ name, value: typedText(typed, name), faults })
  return (
    <Form
      action={`${paths.homeRooms(home.id)}/areas`}
      submit="Add the area"
      csrf={csrf}
      idempotencyKey={formKey}
      faults={faults}
      id="add-area"
    >
      <h2>Add to the foundation</h2>
      <SelectField
        {...field('kind')}
        label="Kind"
        choices={foundationKind.options.map(value => ({ value, words: spoken(value) }))}
      />
      <Field {...field('areaName')} label="What it is called" hint="Like old part" size="medium" maxlength={100} />
      <NumberField {...field('areaM2')} label="Area" unit="m²" optional />
    </Form>
  )
}
