import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { MonitorFacts } from '../../domain/devices/monitor-facts.ts'
import { whereaboutsOf } from '../../domain/devices/whereabouts-of.ts'
import { DateField, Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { Empty } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { Table, Text } from '../../web/table.tsx'
import { textIn } from '../../web/typed-fields.ts'
import { DayText } from '../../web/when-text.tsx'
import { AwaySection } from './away-section.tsx'
import type { DeviceViewProps } from './device-props.ts'
import { Until } from './devices-view.tsx'
import { KitTable } from './kit-table.tsx'
import { BookingTimes, HomeLink, PlaceText } from './place-view.tsx'
import type { DeviceRow } from './queries.ts'
import { kindWords, methodWords, nameOf } from './words.ts'

/** One device: where it is and goes next, when it was away, its calibrations; of a lot its kits by number. */
export const DeviceView = (props: DeviceViewProps): JSX.Element => {
  const { device, monitor, now, zone } = props
  const today = localDayOf(now, zone)
  return (
    <>
      <h1 safe>{nameOf(device)}</h1>
      <p safe>{`${kindWords[device.kind]}, ${methodWords[device.method]}.`}</p>
      {monitor ? <Where monitor={monitor} now={now} zone={zone} mayChange={props.mayChange} /> : ''}
      {monitor ? <AwaySection {...props} /> : ''}
      {device.kind === 'kit-lot' ? (
        <section>
          <h2>Kits</h2>
          <p>
            <span safe>{lotWords(device, props.kits.length)}</span> <Until day={device.expiresOn} today={today} />
          </p>
          <KitTable
            kits={props.kits}
            today={today}
            empty="None of its kits has left the shop. One is left from the page of a home, under Devices here."
          />
        </section>
      ) : (
        <Calibrations {...props} />
      )}
    </>
  )
}

const lotWords = ({ kitCount }: DeviceRow, left: number): string => {
  const many = kitCount === null ? 'How many there were is not known' : `${kitCount} in the lot`
  return `${many}; ${left} left the shop. Usable until:`
}

type WhereProps = Pick<DeviceViewProps, 'now' | 'zone' | 'mayChange'> & { readonly monitor: MonitorFacts }
const Where = ({ monitor, now, zone, mayChange }: WhereProps): JSX.Element => (
  <section>
    <h2>Where it is</h2>
    <p>
      <PlaceText place={whereaboutsOf(monitor, now).place} now={now} zone={zone} />
    </p>
    <h3>Bookings</h3>
    {monitor.bookings.length === 0 ? (
      <Empty text="It is promised to no home. It is booked from the page of the home, under Devices here." />
    ) : (
      <ul class="ruled">
        {monitor.bookings.map(booking => (
          <li>
            <p>
              <HomeLink of={booking} />, <BookingTimes of={booking} now={now} zone={zone} />
            </p>
            {mayChange && booking.home !== null ? (
              <p>
                <a href={paths.bookingStep(booking.id, 'move')}>Move it, or see what it was</a>
                {' · '}
                <a href={paths.bookingStep(booking.id, 'end')}>End this booking</a>
              </p>
            ) : (
              ''
            )}
          </li>
        ))}
      </ul>
    )}
  </section>
)

const Calibrations = ({ device, now, zone, came, ...props }: DeviceViewProps): JSX.Element => {
  const faults = came === 'calibrations' ? props.faults : []
  const value = (name: string) => (came === 'calibrations' ? textIn(props.typed, name) : '')
  const today = localDayOf(now, zone)
  return (
    <section>
      <h2>Calibrations</h2>
      {device.calibrations.length === 0 ? (
        <Empty text="No calibration is on record: tests with it carry a note." />
      ) : (
        <Table
          caption="Calibrations, newest first"
          quietCaption
          columns={['Calibrated', 'Holds until', 'Certificate'].map(words => ({ words }))}
          rows={device.calibrations.map(calibration => [
            <DayText day={calibration.calibratedOn} />,
            <Until day={calibration.validUntil} today={today} />,
            <Text of={calibration.certificate} />,
          ])}
        />
      )}
      {props.mayChange ? (
        <Form
          action={paths.deviceStep(device.id, 'calibrations')}
          submit="Add the calibration"
          csrf={props.csrf}
          idempotencyKey={props.formKey}
          faults={faults}
        >
          <DateField name="calibratedOn" label="Calibrated" value={value('calibratedOn')} faults={faults} />
          <DateField name="validUntil" label="Holds until" value={value('validUntil')} faults={faults} />
          <Field name="certificate" label="Certificate" value={value('certificate')} optional faults={faults} />
        </Form>
      ) : (
        ''
      )}
    </section>
  )
}
