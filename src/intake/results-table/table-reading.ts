import { z } from 'zod'

export const TABLE_ROLES = [
  'home-id',
  'street',
  'unit-of-home',
  'city',
  'region',
  'postcode',
  'location',
  'floor',
  'method',
  'purpose',
  'start',
  'start-time',
  'stop',
  'stop-time',
  'value',
  'radon-unit',
  'uncertainty',
  'kit-number',
  'laboratory',
  'ignored',
] as const

const column = z.strictObject({
  index: z.int().min(0).max(999),
  role: z.enum(TABLE_ROLES),
  name: z.string().max(200),
})

const localMoment = z
  .string()
  .regex(/^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}$/, 'is no local time: write it like 2025-11-03T12:00')

/** What holds for every row of a table that does not say otherwise itself. */
const constants = z.strictObject({
  method: z
    .enum(['continuous-monitor', 'activated-charcoal', 'electret', 'alpha-track', 'liquid-scintillation', 'unknown'])
    .nullable(),
  purpose: z.enum(['pre-mitigation', 'post-mitigation', 'retest', 'real-estate', 'follow-up']).nullable(),
  unit: z.enum(['pCi/L', 'Bq/m3']).nullable(),
  /** On the wall clock of each home. */
  start: localMoment.nullable(),
  stop: localMoment.nullable(),
  city: z.string().max(100).nullable(),
  region: z.string().max(60).nullable(),
  country: z.string().regex(/^[A-Z]{2}$/),
  /** IANA zone of homes that the import takes up; found from the address where null. */
  zone: z.string().max(60).nullable(),
  source: z.enum(['own', 'other-company', 'laboratory', 'homeowner', 'imported']),
})

/** Everything that must be known to read a table of single results; `null` is a question still open, or a thing unknown. */
export const tableReadingSchema = z
  .strictObject({
    delimiter: z.enum([',', ';', '\t', '|']),
    decimalMark: z.enum(['.', ',']).nullable(),
    headerLine: z.int().min(1).nullable(),
    columns: z.array(column).min(1).max(1000),
    dateOrder: z.enum(['ymd', 'dmy', 'mdy']).nullable(),
    /** What becomes of a row whose home is not on record. */
    unknownHomes: z.enum(['refuse', 'take-up']),
    constants,
  })
  .meta({ id: 'ResultsTableReading' })

export type TableReading = z.infer<typeof tableReadingSchema>
export type TableRole = (typeof TABLE_ROLES)[number]

export const indexOfRole = (reading: Pick<TableReading, 'columns'>, role: TableRole): number =>
  reading.columns.find(c => c.role === role)?.index ?? -1

/** Roles and constants without which no row can be read. */
export function openTableParts(reading: TableReading): readonly string[] {
  const has = (role: TableRole) => indexOfRole(reading, role) >= 0
  const open: string[] = []
  if (!has('value')) open.push('value')
  // The kit of a row tells its home, and what the test was.
  const byKitAlone = !has('home-id') && !has('street') && has('kit-number')
  if (!has('home-id') && !has('street') && !byKitAlone) open.push('home')
  if (!has('radon-unit') && reading.constants.unit === null) open.push('unit')
  if (!byKitAlone && !has('method') && reading.constants.method === null) open.push('method')
  if (!byKitAlone && !has('purpose') && reading.constants.purpose === null) open.push('purpose')
  if (reading.dateOrder === null) open.push('dateOrder')
  if (reading.decimalMark === null) open.push('decimalMark')
  return open
}
