import type { Holiday, WorkingWeek } from '../../domain/calendar/working-hours.ts'
import type { Instant, LocalDay, RadonUnit } from '../../domain/facts.ts'
import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import { problem } from '../../platform/http/problem.ts'

export type CompanySettings = {
  name: string
  street: string
  city: string
  region: string
  postcode: string
  country: string
  zone: string
  defaultUnit: RadonUnit
  defaultPressureUnit: 'in. w.c.' | 'Pa'
  phone: string
  replyTo: string
  /** Further lines that stand under the address on letters and papers. */
  letterhead: string
  logoSha256: Buffer | null
  crewSees: 'whole-home' | 'without-contacts'
  crewDaysAfter: number
  remindersReleasedAt: Instant | null
  dailyMailCap: number
  sendFromHour: number
  sendToHour: number
  resultMailOnAcceptance: boolean
  /** Of a kilowatt-hour, decimal text with its currency; both or neither. */
  electricityPrice: string | null
  electricityCurrency: string | null
  /** The company's own words after the caution; ours stay. */
  cautionAdded: string
  credentialWarningDays: number
  workingWeek: WorkingWeek
  holidays: readonly Holiday[]
  installMinutes: number
  setMinutes: number
  pickUpMinutes: number
  otherVisitMinutes: number
  reportMinutes: number
  laboratoryDays: number
  /** From how many years on a fan stands on the month’s list. */
  fanAgeYears: number
}
export type Company = CompanySettings & { version: number; updatedAt: Instant }

// Every setting and its column, in the order of the statements below.
const columnOf: Readonly<Record<keyof CompanySettings, string>> = {
  name: 'name',
  street: 'street',
  city: 'city',
  region: 'region',
  postcode: 'postcode',
  country: 'country',
  zone: 'zone',
  defaultUnit: 'default_unit',
  defaultPressureUnit: 'default_pressure_unit',
  phone: 'phone',
  replyTo: 'reply_to',
  letterhead: 'letterhead',
  logoSha256: 'logo_sha256',
  crewSees: 'crew_sees',
  crewDaysAfter: 'crew_days_after',
  remindersReleasedAt: 'reminders_released_at',
  dailyMailCap: 'daily_mail_cap',
  sendFromHour: 'send_from_hour',
  sendToHour: 'send_to_hour',
  resultMailOnAcceptance: 'result_mail_on_acceptance',
  electricityPrice: 'electricity_price',
  electricityCurrency: 'electricity_currency',
  cautionAdded: 'caution_added',
  credentialWarningDays: 'credential_warning_days',
  workingWeek: 'working_week',
  holidays: 'holidays',
  installMinutes: 'install_minutes',
  setMinutes: 'set_minutes',
  pickUpMinutes: 'pick_up_minutes',
  otherVisitMinutes: 'other_visit_minutes',
  reportMinutes: 'report_minutes',
  laboratoryDays: 'laboratory_days',
  fanAgeYears: 'fan_age_years',
}
const settings = Object.entries(columnOf) as [keyof CompanySettings, string][]
const columns = `${settings.map(([name, column]) => `${column} as "${name}"`).join(', ')}, version, updated_at as "updatedAt"`

const read = sql('company', `select ${columns} from company`)
const lock = sql('company-lock', `select ${columns} from company for update`)

/** The company whose database this is. It is set up with the first owner. */
export const readCompany = async (db: Db): Promise<Company> => there(await db.one<Company>(read))
/** The same, locked for the change to come. */
export const lockCompany = async (tx: Tx): Promise<Company> => there(await tx.one<Company>(lock))

function there(company: Company | null): Company {
  if (company) return company
  throw problem(503, 'not-set-up', 'This service is not set up yet: the operator adds the first owner.')
}

const places = settings.map((_, place) => `$${place + 1}`)
const last = `$${settings.length + 1}`
const columnNames = settings.map(([, column]) => column).join(', ')
const placeholders = places.join(', ')
const assignments = settings.map(([, column], place) => `${column} = ${places[place]}`).join(', ')

const insert = sql(
  'company-insert',
  `insert into company (id, ${columnNames}, updated_at)
   values (1, ${placeholders}, ${last}) on conflict (id) do nothing returning id`,
)
/** Writes the company's one row; false when it is there already. */
export const insertCompany = async (tx: Tx, now: number, company: CompanySettings): Promise<boolean> =>
  (await tx.one(insert, values(now, company))) !== null

const update = sql(
  'company-update',
  `update company set ${assignments},
     updated_at = ${last}, version = version + 1`,
)
export const updateCompany = (tx: Tx, now: number, company: CompanySettings) => tx.rows(update, values(now, company))

const values = (now: number, company: CompanySettings) => [
  ...settings.map(([name]) => stored(name, company[name])),
  at(now),
]

function stored(name: keyof CompanySettings, value: CompanySettings[keyof CompanySettings]) {
  if (name === 'remindersReleasedAt') return value === null ? null : at(value as Instant)
  return name === 'workingWeek' || name === 'holidays' ? JSON.stringify(value) : value
}

const keepLogo = sql(
  'company-logo-insert',
  `insert into stored_file (sha256, bytes, size, media_type, name, created_at)
   values ($1, $2, $3, 'image/png', 'logo.png', $4) on conflict (sha256) do nothing`,
)
export const insertLogo = (tx: Tx, now: number, sha256: Buffer, bytes: Buffer) =>
  tx.rows(keepLogo, [sha256, bytes, bytes.length, at(now)])

const logo = sql(
  'company-logo',
  'select f.bytes, f.sha256 from company c join stored_file f on f.sha256 = c.logo_sha256',
)
export const readLogo = (db: Db) => db.one<{ bytes: Buffer; sha256: Buffer }>(logo)

/** A licence or certificate that has not been taken out, with whose it is. */
export type ListedCredential = {
  readonly holder: { readonly id: string; readonly name: string } | null
  readonly kind: 'licence' | 'certificate'
  readonly issuer: string
  readonly number: string
  readonly expiresOn: LocalDay | null
}
const listed = sql(
  'company-credentials',
  `select case when s.id is null then null else json_build_object('id', s.id, 'name', s.name) end as holder,
     c.kind, c.issuer, c.number, c.expires_on as "expiresOn"
   from credential c left join staff s on s.id = c.staff_id
   where c.voided_at is null and s.disabled_at is null order by s.name nulls first, c.created_at, c.id`,
)
/** The company's own first, then those of the people who work for it. */
export const listedCredentials = (db: Db) => db.rows<ListedCredential>(listed)
