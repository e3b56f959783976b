import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { MonitorFacts } from '../../domain/devices/monitor-facts.ts'
import { whereaboutsOf } from '../../domain/devices/whereabouts-of.ts'
import type { Instant, LocalDay } from '../../domain/facts.ts'
import { Empty } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { Table, Text } from '../../web/table.tsx'
import { DayText } from '../../web/when-text.tsx'
import type { LotLine } from './page-queries.ts'
import { BookingTimes, HomeLink, PlaceText } from './place-view.tsx'
import { methodWords, nameOf } from './words.ts'

type Props = {
  readonly monitors: readonly MonitorFacts[]
  readonly lots: readonly LotLine[]
  readonly now: Instant
  readonly zone: string
  readonly mayChange: boolean
}

/** Every monitor and lot: where it is, where it goes next, and how long it is good for. */
export const DevicesView = ({ monitors, lots, now, zone, mayChange }: Props): JSX.Element => {
  const today = localDayOf(now, zone)
  return (
    <>
      <h1>Devices</h1>
      {mayChange ? (
        <ul class="links">
          <li>
            <a href={paths.chase()}>Devices to chase</a>
          </li>
          <li>
            <a href={paths.newDevice()}>Record a device</a>
          </li>
          <li>
            <a href={paths.kitAnswer()}>Enter a laboratory’s answer</a>
          </li>
        </ul>
      ) : (
        ''
      )}
      <section>
        <h2>Radon monitors</h2>
        {monitors.length === 0 ? (
          <Empty text="No radon monitor is on record." />
        ) : (
          <Monitors {...{ monitors, now, zone }} />
        )}
      </section>
      <section>
        <h2>Kits</h2>
        {lots.length === 0 ? <Empty text="No lot of kits is on record." /> : <Lots lots={lots} today={today} />}
      </section>
    </>
  )
}

const Monitors = ({ monitors, now, zone }: Pick<Props, 'monitors' | 'now' | 'zone'>): JSX.Element => (
  <Table
    caption={`${monitors.length} ${monitors.length === 1 ? 'monitor' : 'monitors'}, those out of use last`}
    columns={['Monitor', 'Where it is', 'Next booking', 'Calibrated until'].map(words => ({ words }))}
    rows={monitors.map(monitor => {
      const { place, next, calibratedUntil } = whereaboutsOf(monitor, now)
      return [
        <a href={paths.device(monitor.deviceId)} safe>
          {monitor.name}
        </a>,
        <PlaceText place={place} now={now} zone={zone} />,
        next === null ? (
          <span>none</span>
        ) : (
          <span>
            <HomeLink of={next} />
            <span class="light">
              , <BookingTimes of={next} now={now} zone={zone} />
            </span>
          </span>
        ),
        <Until day={calibratedUntil} today={localDayOf(now, zone)} />,
      ]
    })}
  />
)

const Lots = ({ lots, today }: { lots: readonly LotLine[]; today: LocalDay }): JSX.Element => (
  <Table
    caption={`${lots.length} ${lots.length === 1 ? 'lot' : 'lots'}, those out of use last`}
    columns={[
      { words: 'Lot' },
      { words: 'Kind' },
      { words: 'Out', numeric: true },
      { words: 'In stock', numeric: true },
      { words: 'Usable until' },
    ]}
    rows={lots.map(lot => [
      <a href={paths.device(lot.id)} safe>
        {nameOf(lot)}
      </a>,
      <Text of={lot.retired ? `${methodWords[lot.method]}, out of use` : methodWords[lot.method]} />,
      <Text of={lot.out} />,
      lot.kitCount === null ? (
        <span class="unknown">not known</span>
      ) : (
        <Text of={Math.max(0, lot.kitCount - lot.left)} />
      ),
      <Until day={lot.expiresOn} today={today} />,
    ])}
  />
)

/** A day until which something is good, and whether it is past. */
export const Until = ({ day, today }: { day: LocalDay | null; today: LocalDay }): JSX.Element =>
  day === null ? (
    <span class="unknown">not recorded</span>
  ) : (
    <span>
      <DayText day={day} today={today} />
      {day < today ? <strong> past</strong> : ''}
    </span>
  )
