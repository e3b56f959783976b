import type { Instant, RadonUnit } from '../../domain/facts.ts'
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
  phone: string
  replyTo: string
  licenceNumbers: string[]
  logoSha256: Buffer | null
  crewSees: 'whole-home' | 'without-contacts'
  crewDaysAfter: number
  remindersReleasedAt: Instant | null
  dailyMailCap: number
  sendFromHour: number
  sendToHour: number
  resultMailOnAcceptance: boolean
}
export type Company = CompanySettings & { version: number; updatedAt: Instant }

const columns = `name, street, city, region, postcode, country, zone, default_unit as "defaultUnit", phone,
  reply_to as "replyTo", licence_numbers as "licenceNumbers", logo_sha256 as "logoSha256", crew_sees as "crewSees",
  crew_days_after as "crewDaysAfter", reminders_released_at as "remindersReleasedAt", daily_mail_cap as "dailyMailCap",
  send_from_hour as "sendFromHour", send_to_hour as "sendToHour",
  result_mail_on_acceptance as "resultMailOnAcceptance", version, updated_at as "updatedAt"`

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

const insert = sql(
  'company-insert',
  `insert into company (id, name, street, city, region, postcode, country, zone, default_unit, phone, reply_to,
     licence_numbers, logo_sha256, crew_sees, crew_days_after, reminders_released_at, daily_mail_cap, send_from_hour,
     send_to_hour, result_mail_on_acceptance, updated_at)
   values (1, $1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20)
   on conflict (id) do nothing returning id`,
)
/** Writes the company's one row; false when it is there already. */
export const insertCompany = async (tx: Tx, now: number, company: CompanySettings): Promise<boolean> =>
  (await tx.one(insert, values(now, company))) !== null

const update = sql(
  'company-update',
  `update company set name = $1, street = $2, city = $3, region = $4, postcode = $5, country = $6, zone = $7,
     default_unit = $8, phone = $9, reply_to = $10, licence_numbers = $11, logo_sha256 = $12, crew_sees = $13,
     crew_days_after = $14, reminders_released_at = $15, daily_mail_cap = $16, send_from_hour = $17, send_to_hour = $18,
     result_mail_on_acceptance = $19, updated_at = $20, version = version + 1`,
)
export const updateCompany = (tx: Tx, now: number, company: CompanySettings) => tx.rows(update, values(now, company))

const values = (now: number, company: CompanySettings) => [
  company.name,
  company.street,
  company.city,
  company.region,
  company.postcode,
  company.country,
  company.zone,
  company.defaultUnit,
  company.phone,
  company.replyTo,
  company.licenceNumbers,
  company.logoSha256,
  company.crewSees,
  company.crewDaysAfter,
  company.remindersReleasedAt === null ? null : at(company.remindersReleasedAt),
  company.dailyMailCap,
  company.sendFromHour,
  company.sendToHour,
  company.resultMailOnAcceptance,
  at(now),
]

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
