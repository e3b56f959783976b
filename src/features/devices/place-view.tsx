import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { BookingFacts, StayFacts } from '../../domain/devices/monitor-facts.ts'
import type { Place } from '../../domain/devices/whereabouts-of.ts'
import type { Instant } from '../../domain/facts.ts'
import { dayWords } from '../../web/day-words.ts'
import { paths } from '../../web/paths.ts'
import { InstantText } from '../../web/when-text.tsx'
import { awayWords, pickUpWords } from './words.ts'

type Clock = { readonly now: Instant; readonly zone: string }

/** Where a monitor is, since when, and until when: one line. */
export const PlaceText = (props: { place: Place } & Clock): JSX.Element => (
  <span>
    <Words {...props} />
  </span>
)

function Words({ place, now, zone }: { place: Place } & Clock): JSX.Element {
  if (place.kind === 'home') return <AtHome place={place} now={now} />
  const today = localDayOf(now, zone)
  if (place.kind === 'away') {
    const back =
      place.expectedBackOn === null ? 'no day for its return' : `expected back ${dayWords(place.expectedBackOn, today)}`
    return (
      <>
        <span safe>{`${awayWords[place.reason]}${place.at ? `, ${place.at}` : ''}`}</span>
        <span class="light" safe>
          {` since ${dayWords(place.since, today)}; ${back}`}
        </span>
        {place.late ? <strong> overdue</strong> : ''}
      </>
    )
  }
  if (place.kind === 'lost')
    return (
      <>
        <strong>lost</strong>
        <span class="light" safe>
          {` since ${dayWords(place.since, today)}${place.lastAt?.home ? `, last at ${place.lastAt.home}` : ''}`}
        </span>
      </>
    )
  return place.kind === 'retired' ? (
    <span safe>{`out of use since ${dayWords(localDayOf(place.since, zone), today)}`}</span>
  ) : (
    <span>at the shop</span>
  )
}

const AtHome = ({ place, now }: { place: Extract<Place, { kind: 'home' }>; now: Instant }): JSX.Element => {
  const { stay, pickUp, late } = place
  const today = localDayOf(now, stay.zone)
  return (
    <>
      <HomeLink of={stay} />
      {stay.room && stay.home ? <span safe>{`, ${stay.room}`}</span> : ''}
      <span class="light">
        {' '}
        since <InstantText at={stay.since} zone={stay.zone} today={today} />;{' '}
        <span safe>{pickUpWords[pickUp.because]}</span> <InstantText at={pickUp.at} zone={stay.zone} today={today} />
      </span>
      {late ? <strong> not picked up</strong> : ''}
    </>
  )
}

/** The home's address with its link; for those who may not see it, that it is a home. */
export const HomeLink = ({ of }: { of: Pick<StayFacts, 'propertyId' | 'home'> }): JSX.Element =>
  of.home === null ? (
    <span>a home that you do not see</span>
  ) : (
    <a href={paths.home(of.propertyId)} safe>
      {of.home}
    </a>
  )

/** From when to when a monitor is promised. */
export const BookingTimes = ({ of, now, zone }: { of: Pick<BookingFacts, 'from' | 'until'> } & Clock): JSX.Element => {
  const today = localDayOf(now, zone)
  return (
    <>
      <InstantText at={of.from} zone={zone} today={today} /> to <InstantText at={of.until} zone={zone} today={today} />
    </>
  )
}
