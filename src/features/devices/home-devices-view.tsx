import { localDayOf } from '../../domain/calendar/local-day.ts'
import { whereaboutsOf } from '../../domain/devices/whereabouts-of.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { Empty } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import type { BookingRow } from './booking-queries.ts'
import { BookingForm, KitForm } from './home-device-forms.tsx'
import type { HomeDevicesProps } from './home-devices-props.ts'
import { KitTable } from './kit-table.tsx'
import { BookingTimes, PlaceText } from './place-view.tsx'

/** The monitors and kits of one home: standing there, promised to it, left there. */
export function HomeDevicesView(props: HomeDevicesProps): JSX.Element {
  const { home, monitors, kits, now } = props
  const here = monitors.filter(monitor => {
    const { place } = whereaboutsOf(monitor, now)
    return place.kind === 'home' && place.stay.propertyId === home.id
  })
  const promised = monitors.flatMap(monitor =>
    monitor.bookings.filter(one => one.propertyId === home.id).map(booking => ({ monitor, booking })),
  )
  return (
    <>
      <p class="above">
        <a href={paths.home(home.id)} safe>
          {home.address}
        </a>
      </p>
      <h1>Devices here</h1>
      <section>
        <h2>Monitors</h2>
        {here.length + promised.length === 0 ? (
          <Empty text="No monitor stands here or is booked for here." />
        ) : (
          <ul class="ruled">
            {here.map(monitor => (
              <li>
                <a href={paths.device(monitor.deviceId)} safe>
                  {monitor.name}
                </a>
                : <PlaceText place={whereaboutsOf(monitor, now).place} now={now} zone={home.zone} />
              </li>
            ))}
            {promised.map(({ monitor, booking }) => (
              <li>
                <a href={paths.device(monitor.deviceId)} safe>
                  {monitor.name}
                </a>{' '}
                is booked, <BookingTimes of={booking} now={now} zone={home.zone} />
                {props.mayBook ? (
                  <>
                    {': '}
                    <a href={paths.bookingStep(booking.id, 'move')}>move it</a>
                  </>
                ) : (
                  ''
                )}
              </li>
            ))}
          </ul>
        )}
        {props.mayBook ? <BookingForm {...props} /> : ''}
      </section>
      <section>
        <h2>Kits</h2>
        <KitTable kits={kits} today={localDayOf(now, home.zone)} ofHome empty="No kit was left here." />
        <KitForm {...props} />
      </section>
    </>
  )
}

/** Takes a booking out, with the reason. */
export const EndBookingForm = (props: {
  booking: BookingRow
  csrf: string
  faults: readonly FieldFault[]
}): JSX.Element => (
  <>
    <h1>End a booking</h1>
    <p>The monitor is free for that time again. The booking stays in the history.</p>
    <Form
      action={paths.bookingStep(props.booking.id, 'end')}
      submit="End the booking"
      csrf={props.csrf}
      version={props.booking.version}
      faults={props.faults}
      cancel={{ href: paths.device(props.booking.deviceId) }}
      grave
    >
      <Field name="reason" label="Why" value="" faults={props.faults} />
    </Form>
  </>
)
