import { addDays } from '../calendar/day-sums.ts'
import { endOfDay, localDayOf, startOfDay } from '../calendar/local-day.ts'
import type { Span } from '../calendar/working-hours.ts'
import type { Instant } from '../facts.ts'
import type { ClosingQuestion } from './closing-question.ts'
import { begunBefore, doneAfter } from './work-time.ts'

const minuteMs = 60_000

type Reporting = Pick<ClosingQuestion, 'method' | 'durations' | 'hours'>

/** When the report is in hand of a device that stopped at `pickUp`; null beyond the stretches that were looked at. */
export function reportedAt(
  pickUp: Instant,
  { method, durations, hours }: Reporting,
  worked: readonly Span[],
): Instant | null {
  const { pickUpMinutes, reportMinutes, laboratoryDays } = durations
  if (method === 'continuous-monitor') {
    const back = pickUp + pickUpMinutes * minuteMs
    return reportMinutes === 0 ? back : doneAfter(worked, back, reportMinutes * minuteMs)
  }
  // The answer may come at any time of its day: it is taken as there when that day is over.
  const answered = addDays(localDayOf(pickUp, hours.zone), laboratoryDays + 1)
  return doneAfter(worked, startOfDay(answered, hours.zone), reportMinutes * minuteMs)
}

/** The last moment a device may stop for its report to be in hand by `deadline`; null when there is none. */
export function pickUpFor(
  deadline: Instant,
  { method, durations, hours }: Reporting,
  worked: readonly Span[],
): Instant | null {
  const { pickUpMinutes, reportMinutes, laboratoryDays } = durations
  const monitor = method === 'continuous-monitor'
  const begun = monitor && reportMinutes === 0 ? deadline : begunBefore(worked, deadline, reportMinutes * minuteMs)
  if (begun === null) return null
  if (monitor) return begun - pickUpMinutes * minuteMs
  return endOfDay(addDays(localDayOf(begun, hours.zone), -laboratoryDays - 1), hours.zone)
}
