import { localDayOf } from '../domain/calendar/local-day.ts'
import type { Instant, LocalDay, When } from '../domain/facts.ts'
import { dayWords, distanceWords, roughWords, weekdayWords } from './day-words.ts'
import { clockWords, zoneWords } from './instant-words.ts'

/** A day that is due: `Tue 12 May 2026, in 3 weeks`, or `overdue since 4 March`. Days are local to the home. */
export function DueDay({ day, today }: { day: LocalDay; today: LocalDay }): JSX.Element {
  const late = day < today
  const words = late ? `overdue since ${dayWords(day, today)}` : weekdayWords(day)
  const rest = late ? '' : `, ${distanceWords(day, today)}`
  return (
    <span class={late ? 'due overdue' : 'due'}>
      <time datetime={day} safe>
        {words}
      </time>
      <span safe>{rest}</span>
    </span>
  )
}

/** A day that has been or will be, with its weekday; the year when it is not this one. */
export function DayText({ day, today }: { day: LocalDay; today?: LocalDay }): JSX.Element {
  return (
    <time datetime={day} class="day" safe>
      {weekdayWords(day, today)}
    </time>
  )
}

/** A moment on the home's own clock: `Tue 12 May 2026, 14:30 CDT`. */
export function InstantText({ at, zone, today }: { at: Instant; zone: string; today?: LocalDay }): JSX.Element {
  return (
    <time datetime={new Date(at).toISOString()} class="day" safe>
      {`${weekdayWords(localDayOf(at, zone), today)}, ${clockWords(at, zone)} ${zoneWords(at, zone)}`}
    </time>
  )
}

/** A moment that may be exact, rough or not known at all, and says which. */
export function WhenText({ when, zone, today }: { when: When; zone: string; today?: LocalDay }): JSX.Element {
  if (when.at !== null) return <InstantText at={when.at} zone={zone} today={today} />
  return (
    <span class={when.edtf === null ? 'unknown' : 'day'} safe>
      {when.edtf === null ? 'date not known' : roughWords(when.edtf)}
    </span>
  )
}
