import { z } from 'zod'
import type { LocalDay } from '../../domain/facts.ts'
import type { DecimalMark } from '../monitor-file/number-cell.ts'
import type { DateOrder } from '../monitor-file/stamp.ts'

/** What a column of an old table of homes can hold. `note` may stand over many columns, the others mostly over one. */
export const HOME_ROLES = [
  'home-id',
  'address',
  'street',
  'unit-of-home',
  'city',
  'region',
  'postcode',
  'country',
  'year-built',
  'foundation',
  'owner',
  'owner-first-name',
  'owner-last-name',
  'second-owner',
  'phone',
  'email',
  'owner-since',
  'tenant',
  'tenant-phone',
  'manager',
  'manager-phone',
  'system-type',
  'tag',
  'installed',
  'installer',
  'label',
  'fan-model',
  'fan-serial',
  'fan-installed',
  'gauge',
  'gauge-unit',
  'alarm',
  'before-result',
  'before-unit',
  'before-date',
  'before-method',
  'after-result',
  'after-unit',
  'after-date',
  'after-method',
  'last-result',
  'last-unit',
  'last-date',
  'last-method',
  'note',
  'ignored',
] as const
export type HomeRole = (typeof HOME_ROLES)[number]

const column = z.strictObject({
  index: z.int().min(0).max(999),
  role: z.enum(HOME_ROLES),
  name: z.string().max(200),
})
const sheet = z.strictObject({
  index: z.int().min(0).max(199),
  name: z.string().max(100).meta({ description: 'Empty for a text file' }),
  headerLine: z.int().min(1),
  read: z.boolean().meta({ description: 'false: the sheet is left out' }),
  columns: z.array(column).min(1).max(1000),
})

/** What holds for every row that does not say otherwise. */
const constants = z.strictObject({
  city: z.string().max(100).nullable(),
  region: z.string().max(60).nullable(),
  country: z.string().regex(/^[A-Z]{2}$/),
  zone: z
    .string()
    .max(60)
    .nullable()
    .meta({ description: 'Time zone of homes whose address does not tell it; null: the company’s, kept as assumed' }),
  radonUnit: z.enum(['pCi/L', 'Bq/m3']).nullable(),
  gaugeUnit: z.enum(['in. w.c.', 'Pa']).nullable(),
  installedBy: z.enum(['us', 'another', 'builder', 'owner', 'unknown']),
})

/** A person's word on two homes that may be one, by the key the dry run gives the pair. */
const doubles = z.record(z.string().regex(/^[0-9a-f]{16}$/), z.enum(['same', 'other']))

/** Everything that must be known to read an old table of homes; `null` is a question still open, or a thing unknown. */
export const homesReadingSchema = z
  .strictObject({
    delimiter: z.enum([',', ';', '\t', '|']).nullable().meta({ description: 'null for a workbook' }),
    sheets: z.array(sheet).min(1).max(50),
    decimalMark: z.enum(['.', ',']).nullable(),
    dateOrder: z.enum(['ymd', 'dmy', 'mdy']).nullable(),
    badRows: z.enum(['refuse', 'leave-out']).meta({ description: 'Whether bad rows hold up the others' }),
    constants,
    doubles,
  })
  .meta({ id: 'HomesTableReading' })

export type HomesReading = z.infer<typeof homesReadingSchema>
export type SheetReading = HomesReading['sheets'][number]
export type DoublesSaid = HomesReading['doubles']

/** A reading that leaves no date and no number in doubt. */
export type Settled = HomesReading & { readonly decimalMark: DecimalMark; readonly dateOrder: DateOrder }
/** What a row is read against besides its reading: whose table it is, and when. */
export type Readers = {
  readonly companyName: string
  readonly today: LocalDay
  /** By how many days the sheet counts its days later than most do. */
  readonly daysLate?: number
}

/** Which columns of which names hold what: what of a reading holds for the next file. */
export const homesMappingSchema = z
  .strictObject({
    roles: z.record(z.string().max(200), z.enum(HOME_ROLES)),
    decimalMark: z.enum(['.', ',']).optional(),
    dateOrder: z.enum(['ymd', 'dmy', 'mdy']).optional(),
    constants: constants.partial().optional(),
  })
  .meta({ id: 'HomesMapping' })
export type HomesMapping = z.infer<typeof homesMappingSchema>

/** A column's name as mappings know it. */
export const columnKey = (name: string): string => name.toLowerCase().replaceAll(/\s+/g, ' ').trim()

export const mappingOf = ({ sheets, decimalMark, dateOrder, constants }: HomesReading): HomesMapping => ({
  roles: Object.fromEntries(
    sheets.flatMap(({ columns }) =>
      columns.filter(({ name }) => name !== '').map(({ name, role }) => [columnKey(name), role]),
    ),
  ),
  ...(decimalMark ? { decimalMark } : {}),
  ...(dateOrder ? { dateOrder } : {}),
  constants,
})

export const has = ({ sheets }: Pick<HomesReading, 'sheets'>, ...roles: readonly HomeRole[]): boolean =>
  sheets.some(({ read, columns }) => read && columns.some(({ role }) => roles.includes(role)))

/** Columns without which a row tells no home. */
export const TELLS_HOME: ReadonlySet<HomeRole> = new Set(['address', 'street', 'home-id'])
export const RESULT_ROLES = ['before-result', 'after-result', 'last-result'] as const
export const DATE_ROLES = [
  'owner-since',
  'installed',
  'fan-installed',
  'before-date',
  'after-date',
  'last-date',
] as const
