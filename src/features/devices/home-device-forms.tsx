import type { MonitorFacts } from '../../domain/devices/monitor-facts.ts'
import { whereaboutsOf } from '../../domain/devices/whereabouts-of.ts'
import type { Instant } from '../../domain/facts.ts'
import { choicesFrom, SelectField } from '../../web/choice-field.tsx'
import { dayWords } from '../../web/day-words.ts'
import { DateField, Field } from '../../web/field.tsx'
import { FieldGroup, Form } from '../../web/form.tsx'
import { MomentFields } from '../../web/moment-fields.tsx'
import { paths } from '../../web/paths.ts'
import { purposeWords } from '../../web/purpose-words.ts'
import { textIn } from '../../web/typed-fields.ts'
import type { HomeDevicesProps } from './home-devices-props.ts'

/** Promises a monitor to the home. */
export function BookingForm(props: HomeDevicesProps): JSX.Element {
  const { home, monitors, now, came, csrf, formKey } = props
  const [typed, faults] = came === 'booking' ? [props.typed, props.faults] : [{}, []]
  return (
    <Form
      action={paths.bookMonitor(home.id)}
      submit="Book the monitor"
      csrf={csrf}
      idempotencyKey={formKey}
      faults={faults}
    >
      <FieldGroup legend="Book a monitor for a test here" hint={`On the home’s clock (${home.zone}).`}>
        <BookedTimeFields {...{ monitors, now, typed, faults }} />
      </FieldGroup>
    </Form>
  )
}

type BookedTime = Pick<HomeDevicesProps, 'monitors' | 'now' | 'typed' | 'faults'>

/** Which monitor, from when, until when. */
export const BookedTimeFields = ({ monitors, now, typed, faults }: BookedTime): JSX.Element => (
  <>
    <SelectField
      name="deviceId"
      label="Monitor"
      choices={monitorChoices(monitors, now)}
      value={textIn(typed, 'deviceId')}
      empty="Choose"
      faults={faults}
    />
    <MomentFields name="from" label="Set" typed={typed} faults={faults} />
    <MomentFields name="until" label="Free again" typed={typed} faults={faults} />
  </>
)

/** The monitors in use, each with where it is. */
const monitorChoices = (monitors: readonly MonitorFacts[], now: Instant) =>
  monitors
    .filter(({ retiredAt }) => retiredAt === null)
    .map(monitor => ({ value: monitor.deviceId, words: choiceWords(monitor, now) }))

const placeWords = { home: 'stands at a home', away: 'away', lost: 'lost', retired: 'out of use', shop: 'at the shop' }
function choiceWords(monitor: MonitorFacts, now: Instant): string {
  const { place, calibratedUntil } = whereaboutsOf(monitor, now)
  const calibrated = calibratedUntil === null ? '' : `, calibrated until ${dayWords(calibratedUntil)}`
  return `${monitor.name}: ${placeWords[place.kind]}${calibrated}`
}

/** Leaves a kit of a lot at the home. */
export function KitForm(props: HomeDevicesProps): JSX.Element {
  const { home, came, csrf, formKey } = props
  const [typed, faults] = came === 'kit' ? [props.typed, props.faults] : [{}, []]
  return (
    <Form
      action={paths.leaveKit(home.id)}
      submit="The kit is left"
      csrf={csrf}
      idempotencyKey={formKey}
      faults={faults}
    >
      <FieldGroup legend="Leave a kit here">
        <SelectField
          name="lot"
          label="Lot"
          choices={home.lots.map(({ id, name, expiresOn }) => ({
            value: id,
            words: expiresOn === null ? name : `${name}, usable until ${dayWords(expiresOn)}`,
          }))}
          value={textIn(typed, 'lot')}
          empty="Choose"
          faults={faults}
        />
        <Field name="number" label="Number on the kit" value={textIn(typed, 'number')} size="medium" faults={faults} />
        <SelectField
          name="purpose"
          label="Purpose"
          choices={choicesFrom(purposeWords)}
          value={textIn(typed, 'purpose')}
          empty="Choose"
          faults={faults}
        />
        <DateField
          name="leftOn"
          label="Left on"
          value={'leftOn' in typed ? textIn(typed, 'leftOn') : 'today'}
          faults={faults}
        />
        {home.people.length > 0 ? (
          <SelectField
            name="person"
            label="With whom"
            choices={home.people.map(({ id, name }) => ({ value: id, words: name }))}
            value={textIn(typed, 'person')}
            empty="Somebody else, or nobody"
            faults={faults}
          />
        ) : (
          ''
        )}
        <Field
          name="leftWith"
          label="With somebody else"
          hint="A neighbour, the front desk"
          value={textIn(typed, 'leftWith')}
          optional
          faults={faults}
        />
        {home.rooms.length > 0 ? (
          <SelectField
            name="room"
            label="For which room"
            choices={home.rooms.map(({ id, name }) => ({ value: id, words: name }))}
            value={textIn(typed, 'room')}
            empty="Not said"
            faults={faults}
          />
        ) : (
          ''
        )}
      </FieldGroup>
    </Form>
  )
}
