import { daysBetween } from '../calendar/day-sums.ts'
import { localDayOf } from '../calendar/local-day.ts'
import type { Instant, LocalDay } from '../facts.ts'
import { type Chase, daysWords } from './chase.ts'
import type { MonitorFacts } from './monitor-facts.ts'
import type { PickUp } from './pick-up.ts'
import { type Whereabouts, whereaboutsOf } from './whereabouts-of.ts'

/** A calibration that ends within these days and does not reach what the monitor is promised for is told. */
const noticeDays = 30

/** What has to be done about a monitor today. */
export function chasesOfMonitor(facts: MonitorFacts, now: Instant): readonly Chase[] {
  const where = whereaboutsOf(facts, now)
  const today = localDayOf(now, facts.zone)
  return [
    notPickedUp(where, now),
    notBack(where, today),
    bookedInstead(where, facts.zone, now),
    calibrationEnds(where, facts, today),
  ].filter(chase => chase !== null)
}

const pickUpWords: Readonly<Record<PickUp['because'], string>> = {
  visit: 'a visit was to pick it up on',
  booking: 'it was booked there until',
  'shortest-test': 'no visit is planned, and 48 hours were over on',
}

function notPickedUp({ place }: Whereabouts, now: Instant): Chase | null {
  if (place.kind !== 'home' || !place.late) return null
  const { stay, pickUp } = place
  const dueOn = localDayOf(pickUp.at, stay.zone)
  const stood = daysWords(daysBetween(localDayOf(stay.since, stay.zone), localDayOf(now, stay.zone)))
  const reason = `has stood there for ${stood}; ${pickUpWords[pickUp.because]} ${dueOn}`
  return { kind: 'not-picked-up', dueOn, reason, act: 'plan-visit' }
}

function notBack({ place }: Whereabouts, today: LocalDay): Chase | null {
  if (place.kind !== 'away' || !place.late) return null
  const dueOn = place.expectedBackOn!
  const reason = `away since ${place.since}, expected back ${daysWords(daysBetween(dueOn, today))} ago`
  return { kind: 'not-back', dueOn, reason, act: 'get-it-back' }
}

// A booking is in danger while the monitor is elsewhere and nothing says that it is free by then.
function bookedInstead({ place, next }: Whereabouts, zone: string, now: Instant): Chase | null {
  if (next === null) return null
  const dueOn = localDayOf(next.from, zone)
  const booked = `booked from ${dueOn} for ${next.home ?? 'a home'}`
  if (place.kind === 'lost')
    return { kind: 'booked-while-away', dueOn, reason: `${booked}, but lost`, act: 'move-booking' }
  if (place.kind === 'away' && (place.expectedBackOn === null || place.expectedBackOn > dueOn)) {
    const back = place.expectedBackOn === null ? 'nobody knows when it is back' : `back on ${place.expectedBackOn} only`
    return { kind: 'booked-while-away', dueOn, reason: `${booked}, but ${back}`, act: 'move-booking' }
  }
  if (place.kind === 'home' && Math.max(place.pickUp.at, now) > next.from) {
    const until = localDayOf(Math.max(place.pickUp.at, now), place.stay.zone)
    const reason = `${booked}, but stands at ${place.stay.home ?? 'another home'} until ${until} at least`
    return { kind: 'booked-while-standing', dueOn, reason, act: 'plan-visit' }
  }
  return null
}

function calibrationEnds({ calibratedUntil }: Whereabouts, facts: MonitorFacts, today: LocalDay): Chase | null {
  if (calibratedUntil === null || daysBetween(today, calibratedUntil) > noticeDays) return null
  const after = facts.bookings.filter(one => localDayOf(one.until - 1, facts.zone) > calibratedUntil)
  const first = after.sort((a, b) => a.from - b.from)[0]
  if (!first) return null
  const sent = facts.absences.find(({ kind, backOn }) => kind === 'calibration' && backOn === null)
  if (sent && sent.fromOn <= today) return null
  const ends = calibratedUntil < today ? 'ended' : 'ends'
  const until = localDayOf(first.until, facts.zone)
  const plan = sent ? `; it is to be sent on ${sent.fromOn}` : ''
  const reason = `its calibration ${ends} on ${calibratedUntil}, and it is booked until ${until}${plan}`
  return { kind: 'calibration-ends', dueOn: sent?.fromOn ?? calibratedUntil, reason, act: 'send-to-calibration' }
}
