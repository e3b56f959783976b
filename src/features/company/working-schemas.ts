import { z } from 'zod'
import { isLocalDay } from '../../domain/calendar/civil-day.ts'
import type { Holiday } from '../../domain/calendar/working-hours.ts'
import { readTypedNumber } from '../../web/read-typed-number.ts'
import { readTypedSpans } from '../../web/read-typed-spans.ts'
import { version, whole } from './schemas.ts'

/** Monday first, as a working week is kept. */
export const weekdays = ['monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday', 'sunday'] as const

const workingDay = z
  .string()
  .max(200)
  .default('')
  .transform((typed, context) => {
    const read = readTypedSpans(typed)
    if (read.ok) return read.spans
    context.addIssue({ code: 'custom', message: read.fault })
    return z.NEVER
  })

const mostHolidays = 200
const holidays = z
  .string()
  .max(20_000)
  .default('')
  .transform((typed, context) => {
    const lines = typed.split(/\r?\n/).map(line => line.trim())
    const read = lines.filter(Boolean).map(holidayOf)
    const fault = read.find(holiday => typeof holiday === 'string') ?? faultTogether(read as Holiday[])
    if (fault === null) return (read as Holiday[]).sort((a, b) => (a.day < b.day ? -1 : 1))
    context.addIssue({ code: 'custom', message: fault })
    return z.NEVER
  })

function holidayOf(line: string): Holiday | string {
  const [, day = '', name = ''] = /^(\S+)\s+(.{1,120})$/.exec(line) ?? []
  return isLocalDay(day) ? { day, name } : `“${line}” is no day with its name: write it like 2026-12-25 Christmas Day`
}

function faultTogether(read: readonly Holiday[]): string | null {
  if (read.length > mostHolidays) return `are more than ${mostHolidays}: take out those that are past`
  const double = read.find(({ day }, at) => read.findIndex(other => other.day === day) !== at)
  return double ? `${double.day} stands here twice: keep one` : null
}

/** When the company works: a stretch or several for each weekday, and the days off. */
export const hoursForm = z
  .strictObject({
    version,
    monday: workingDay,
    tuesday: workingDay,
    wednesday: workingDay,
    thursday: workingDay,
    friday: workingDay,
    saturday: workingDay,
    sunday: workingDay,
    holidays,
  })
  .transform(form => ({
    version: form.version,
    holidays: form.holidays,
    workingWeek: weekdays.map(day => form[day]),
  }))

/** How long the office expects things to take. */
export const durationsForm = z.strictObject({
  version,
  installMinutes: whole(15, 1440),
  setMinutes: whole(5, 480),
  pickUpMinutes: whole(5, 480),
  otherVisitMinutes: whole(5, 1440),
  reportMinutes: whole(0, 2400),
  laboratoryDays: whole(0, 90),
})

/** From when on a fan is looked at. */
export const fansForm = z.strictObject({ version, fanAgeYears: whole(1, 40) })

export const electricityForm = z
  .strictObject({
    version,
    electricityPrice: z
      .string()
      .max(20)
      .transform((typed, context) => {
        const read = readTypedNumber(typed)
        if (read.ok && /^\d{1,6}(\.\d{1,6})?$/.test(read.value)) return read.value
        context.addIssue({ code: 'custom', message: read.ok ? 'is no price: write it like 0.17' : read.fault })
        return z.NEVER
      })
      .nullable()
      .default(null),
    electricityCurrency: z
      .string()
      .trim()
      .toUpperCase()
      .regex(/^[A-Z]{3}$/, 'is no currency code: three letters, such as USD or CAD')
      .nullable()
      .default(null),
  })
  .refine(form => (form.electricityPrice === null) === (form.electricityCurrency === null), {
    path: ['electricityCurrency'],
    error: 'stands with the price or not at all: fill in both, or neither',
  })
