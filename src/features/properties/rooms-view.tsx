import type { PropsWithChildren } from '@kitajs/html'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { List } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { partPrefix } from './form-page.ts'
import { type HomeTyped, typedText } from './home-fields.tsx'
import { AreaFields, RoomFields } from './part-fields.tsx'
import type { FoundationArea, Property, TestLocation } from './rows.ts'
import { floorWords, spoken } from './words.ts'

export type RoomsBack = {
  /** Where the form that came back was sent to. */
  readonly action: string
  readonly typed: HomeTyped
  readonly faults: readonly FieldFault[]
}
type RoomsProps = {
  readonly home: Property
  readonly csrf: string
  readonly newKey: () => string
  readonly back: RoomsBack | null
}

/** The rooms that are tested and what the house stands on; each can be added, corrected and taken out. */
export function RoomsView(props: RoomsProps): JSX.Element {
  const { home } = props
  const rooms = paths.homeRooms(home.id)
  const addRoom = sentTo(props, rooms, {})
  const addArea = sentTo(props, `${rooms}/areas`, {})
  return (
    <>
      <h1>Rooms and foundation</h1>
      <List
        title="Rooms"
        order="as entered"
        count={home.testLocations.length}
        noun={['room', 'rooms']}
        items={home.testLocations.map(room => <Room {...props} room={room} />)}
        empty={{ text: 'Rooms where radon is measured will stand here; add the first one below.' }}
      />
      <Form {...addRoom.form} submit="Add the room" id="add-room">
        <h2>Add a room</h2>
        <RoomFields {...addRoom.fields} areas={home.foundationAreas} prefix="" />
      </Form>
      <List
        title="Foundation"
        order="as entered"
        count={home.foundationAreas.length}
        noun={['area', 'areas']}
        items={home.foundationAreas.map(area => <Area {...props} area={area} />)}
        empty={{ text: 'What the house stands on will stand here; add the first area below.' }}
      />
      <Form {...addArea.form} submit="Add the area" id="add-area">
        <h2>Add to the foundation</h2>
        <AreaFields {...addArea.fields} prefix="" />
      </Form>
    </>
  )
}

/** A form's frame and fields: as they were typed where this form came back, as they are kept where it did not. */
function sentTo({ csrf, newKey, back }: RoomsProps, action: string, kept: HomeTyped) {
  const mine = back?.action === action ? back : null
  const faults = mine?.faults ?? []
  const form = { action, csrf, idempotencyKey: newKey(), faults }
  return { came: mine !== null, form, fields: { typed: mine?.typed ?? kept, faults } }
}

const underPrefix = (prefix: string, values: object): HomeTyped =>
  Object.fromEntries(Object.entries(values).map(([name, value]) => [`${prefix}${name}`, value]))

function Room(props: RoomsProps & { readonly room: TestLocation }): JSX.Element {
  const { home, room } = props
  const prefix = partPrefix(room.id)
  const livedIn = room.livedIn === null ? '' : room.livedIn ? 'yes' : 'no'
  const lived = room.livedIn === null ? 'not known whether lived in' : room.livedIn ? 'lived in' : 'not lived in'
  const action = `${paths.homeRooms(home.id)}/${room.id}`
  const correction = sentTo(props, `${action}/correction`, underPrefix(prefix, { ...room, livedIn }))
  return (
    <div class="row">
      <p safe>{[room.name, floorWords(room.floor), spoken(room.roomKind), lived].join(', ')}</p>
      <Correct {...correction} part={room}>
        <RoomFields {...correction.fields} areas={home.foundationAreas} prefix={prefix} />
      </Correct>
      <Remove {...sentTo(props, action, {})} part={room} />
    </div>
  )
}

function Area(props: RoomsProps & { readonly area: FoundationArea }): JSX.Element {
  const { home, area } = props
  const prefix = partPrefix(area.id)
  const action = `${paths.homeRooms(home.id)}/areas/${area.id}`
  const kept = underPrefix(prefix, { kind: area.kind, areaName: area.name, areaM2: area.areaM2 })
  const correction = sentTo(props, `${action}/correction`, kept)
  return (
    <div class="row">
      <p safe>{[area.name, spoken(area.kind), area.areaM2 && `${area.areaM2} m²`].filter(Boolean).join(', ')}</p>
      <Correct {...correction} part={area}>
        <AreaFields {...correction.fields} prefix={prefix} />
      </Correct>
      <Remove {...sentTo(props, action, {})} part={area} />
    </div>
  )
}

type PartForm = ReturnType<typeof sentTo> & {
  readonly part: { readonly id: string; readonly name: string; readonly version: number }
}

function Correct({ came, form, fields, part, children }: PropsWithChildren<PartForm>): JSX.Element {
  const reason = `${partPrefix(part.id)}reason`
  return (
    <details open={came}>
      <summary>
        Correct<span class="unseen" safe>{`: ${part.name}`}</span>
      </summary>
      <Form {...form} submit="Save the correction" version={part.version}>
        {children}
        <Field
          name={reason}
          value={typedText(fields.typed, reason)}
          faults={fields.faults}
          label="Why it changes"
          maxlength={500}
        />
      </Form>
    </details>
  )
}

function Remove({ came, form, fields, part }: PartForm): JSX.Element {
  const why = `${partPrefix(part.id)}why`
  return (
    <details class="grave" open={came}>
      <summary>
        Take out<span class="unseen" safe>{`: ${part.name}`}</span>
      </summary>
      <Form {...form} submit="Take out" version={part.version} grave>
        <Field name={why} value={typedText(fields.typed, why)} faults={fields.faults} label="Why" maxlength={500} />
      </Form>
    </details>
  )
}
