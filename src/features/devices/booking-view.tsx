import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { MonitorFacts } from '../../domain/devices/monitor-facts.ts'
import type { Instant } from '../../domain/facts.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { FieldGroup, Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import { InstantText } from '../../web/when-text.tsx'
import type { BookingBefore, BookingRow } from './booking-queries.ts'
import { BookedTimeFields } from './home-device-forms.tsx'
import type { HomeChoices } from './page-queries.ts'
import { BookingTimes } from './place-view.tsx'

type Props = {
  readonly booking: BookingRow
  readonly before: readonly BookingBefore[]
  readonly home: HomeChoices
  readonly monitors: readonly MonitorFacts[]
  readonly now: Instant
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
}

/** One booking of a monitor: what it is, what it was, and the form that moves it. */
export const BookingView = (props: Props): JSX.Element => {
  const { booking, home, monitors, now } = props
  const monitor = monitors.find(({ deviceId }) => deviceId === booking.deviceId)
  return (
    <>
      <p class="above">
        <a href={paths.homeDevices(home.id)} safe>
          {home.address}
        </a>
      </p>
      <h1>Booking of a monitor</h1>
      <p>
        <a href={paths.device(booking.deviceId)} safe>
          {monitor?.name ?? 'Radon monitor'}
        </a>
        , <BookingTimes of={booking} now={now} zone={home.zone} />
      </p>
      {booking.voidedAt === null ? (
        <MoveForm {...props} />
      ) : (
        <p class="note" safe>{`Taken out: ${booking.voidReason ?? ''}. It counts for nothing.`}</p>
      )}
      <Before {...props} />
      <p>
        <a href={paths.putRight('booking', booking.id)}>Put right: it belongs to another home, or should not count</a>
      </p>
    </>
  )
}

const MoveForm = ({ booking, monitors, now, home, typed, faults, csrf }: Props): JSX.Element => (
  <Form
    action={paths.bookingStep(booking.id, 'move')}
    submit="Move the booking"
    csrf={csrf}
    version={booking.version}
    faults={faults}
    cancel={{ href: paths.device(booking.deviceId) }}
  >
    <FieldGroup legend="Move it" hint={`On the home’s clock (${home.zone}).`}>
      <BookedTimeFields {...{ monitors, now, typed, faults }} />
      <Field name="reason" label="Why it is moved" value={textIn(typed, 'reason')} optional faults={faults} />
    </FieldGroup>
  </Form>
)

const Before = ({ before, home, now }: Props): JSX.Element => {
  if (before.length === 0) return <></>
  const today = localDayOf(now, home.zone)
  return (
    <section>
      <h2>What it was before</h2>
      <ul class="ruled">
        {before.map(one => (
          <li>
            <s>
              <span safe>{`${one.monitor} for ${one.home}, `}</span>
              <InstantText at={one.from} zone={home.zone} today={today} /> to{' '}
              <InstantText at={one.until} zone={home.zone} today={today} />
            </s>
            , until it was changed <InstantText at={one.changedAt} zone={home.zone} today={today} />
            <span safe>{one.reason ? `, because: ${one.reason}` : ''}</span>
          </li>
        ))}
      </ul>
    </section>
  )
}
