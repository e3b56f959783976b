import type { Instant } from '../facts.ts'
import { dayMs } from './civil-day.ts'
import { localDayOf } from './local-day.ts'
import { weekdayIndex } from './working-hours.ts'
import { offsetAt } from './zone-offset.ts'

const names = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun']
const two = (value: number) => String(value).padStart(2, '0')

/** What calendar and clock show in `zone`: `Tue 2026-05-12 14:30`. */
export function wallText(at: Instant, zone: string): string {
  const day = localDayOf(at, zone)
  const minutes = Math.floor(((((at + offsetAt(at, zone)) % dayMs) + dayMs) % dayMs) / 60_000)
  return `${names[weekdayIndex(day)]} ${day} ${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`
}
