import type { Instant } from '../domain/facts.ts'
import type { FieldFault } from './error-summary.tsx'
import type { DateReading } from './read-typed-date.ts'
import { readTypedMoment } from './read-typed-moment.ts'
import { readTypedNumber } from './read-typed-number.ts'

/** Fields of a form as they came: text, or a list where a name repeats. */
export type TypedFields = Readonly<Record<string, unknown>>

export const textIn = (typed: TypedFields, name: string): string => {
  const value = typed[name]
  return typeof value === 'string' ? value.trim() : ''
}

/** Every value under a name that may repeat. */
export const textsIn = (typed: TypedFields, name: string): string[] =>
  [typed[name]].flat().filter(value => typeof value === 'string' && value !== '') as string[]

/** Reads `name` and `name-time` as a moment on the home's clock; faults are added under the field they are of. */
export function momentIn(typed: TypedFields, name: string, reading: DateReading, faults: FieldFault[]): Instant | null {
  const read = readTypedMoment(textIn(typed, name), textIn(typed, `${name}-time`), reading)
  if (read.ok) return read.at
  faults.push({ name: read.part === 'date' ? name : `${name}-time`, message: read.fault })
  return null
}

/** Reads a number typed with comma or point as plain decimal text; null where the field is empty. */
export function numberIn(typed: TypedFields, name: string, faults: FieldFault[]): string | null {
  const text = textIn(typed, name)
  if (text === '') return null
  const read = readTypedNumber(text)
  if (read.ok) return read.value
  faults.push({ name, message: read.fault })
  return null
}

/** Adds a fault under a field that must say something, and gives null. */
export function needed(faults: FieldFault[], name: string, message: string): null {
  if (!faults.some(fault => fault.name === name)) faults.push({ name, message })
  return null
}

/** How a day is typed where the home stands. */
export const dateReadingFor = (home: { zone: string; country: string }, now: Instant): DateReading => ({
  now,
  zone: home.zone,
  order: home.country === 'US' ? 'month-first' : 'day-first',
})
