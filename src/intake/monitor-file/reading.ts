import { z } from 'zod'

export const COLUMN_ROLES = [
  'date-time',
  'date',
  'time',
  'value',
  'unit',
  'temperature',
  'humidity',
  'pressure',
  'movement',
  'ignored',
] as const

const column = z.strictObject({
  /** Counted from 0. */
  index: z.int().min(0).max(9999),
  role: z.enum(COLUMN_ROLES),
  /** As the header names it; empty without a header. */
  name: z.string().max(200),
})

const clock = z.discriminatedUnion('kind', [
  /** A wall clock that follows the zone's daylight saving. */
  z.strictObject({ kind: z.literal('zone'), zone: z.string().min(1).max(64) }),
  /** A clock that stood at one distance from UTC all through. */
  z.strictObject({ kind: z.literal('fixed'), offsetMinutes: z.int().min(-840).max(840) }),
  /** Each stamp states its own distance. */
  z.strictObject({ kind: z.literal('stated') }),
])

/** Everything that must be known to read a monitor's file; `null` is a question still open. */
export const readingSchema = z
  .strictObject({
    encoding: z.enum(['utf-8', 'utf-16le', 'utf-16be', 'windows-1252']),
    delimiter: z.enum([',', ';', '\t', '|']),
    decimalMark: z.enum(['.', ',']).nullable(),
    /** Counted from 1. */
    headerLine: z.int().min(1).nullable(),
    firstDataLine: z.int().min(1),
    /** Lines after the last reading: averages, signatures. */
    footerLines: z.int().min(0),
    columns: z.array(column).min(1).max(10_000),
    dateOrder: z.enum(['ymd', 'dmy', 'mdy']).nullable(),
    hours: z.enum(['12', '24']),
    unit: z.enum(['pCi/L', 'Bq/m3']).nullable(),
    clock: clock.nullable(),
    stamp: z.enum(['start', 'end']),
    /** How the two passes of the hour that autumn repeats are told apart. */
    repeatedHour: z.enum(['in-order', 'file-order', 'leave-out']).nullable(),
    deviceCorrectedFirstHours: z.boolean(),
  })
  .meta({ id: 'MonitorFileReading' })

export type Reading = z.infer<typeof readingSchema>
export type Column = z.infer<typeof column>
export type ColumnRole = Column['role']
export type Clock = z.infer<typeof clock>
/** The parts that a person can change; where the lines lie is read off each file. */
export const readingParts = [
  'columns',
  'unit',
  'stamp',
  'clock',
  'repeatedHour',
  'delimiter',
  'decimalMark',
  'dateOrder',
  'hours',
  'deviceCorrectedFirstHours',
] as const
export type ReadingPart = (typeof readingParts)[number]

export const columnOf = (reading: Pick<Reading, 'columns'>, role: ColumnRole): number =>
  reading.columns.find(c => c.role === role)?.index ?? -1

/** Whether a part was read off the file, taken for want of anything better, still to be asked, or told by a person. */
export type How = { readonly by: 'seen' | 'assumed' | 'asked' | 'told'; readonly why: string }

export type Question = {
  readonly part: ReadingPart
  readonly text: string
  readonly choices: readonly { readonly value: unknown; readonly label: string }[]
}
