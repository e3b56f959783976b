import { z } from 'zod'
import { decimalText, filledText, id, instantOut, localDay, text } from '../../platform/http/scalars.ts'

const unit = z.enum(['pCi/L', 'Bq/m3'])
const pressureUnit = z.enum(['in. w.c.', 'Pa'])
const zoneNames = new Set(Intl.supportedValuesOf('timeZone'))
const zone = z
  .string()
  .trim()
  .refine(name => name === 'UTC' || zoneNames.has(name), 'is no time zone: write it like America/Chicago')
const mailAddressOrNone = z
  .string()
  .trim()
  .max(254)
  .regex(
    /^$|^[^\s@<>"(),;:\\]+@[^\s@<>"(),;:\\]+\.[^\s@.]{2,}$/,
    'is no mail address: write it like office@example.org',
  )
const ticked = z.preprocess(value => value === 'on' || value === 'true', z.boolean())
export const whole = (least: number, most: number) =>
  z.coerce
    .number({ error: 'is no whole number' })
    .int('is no whole number')
    .min(least, `is at least ${least}`)
    .max(most, `is at most ${most}`)
export const version = z.coerce.number().int().positive()

export const companyForm = z.strictObject({
  version,
  name: filledText(120),
  street: text(200).default(''),
  city: text(120).default(''),
  region: text(120).default(''),
  postcode: text(20).default(''),
  country: z
    .string()
    .trim()
    .toUpperCase()
    .regex(/^$|^[A-Z]{2}$/, 'is no country code: two letters, such as US or CA')
    .default(''),
  zone,
  defaultUnit: unit,
  defaultPressureUnit: pressureUnit,
  phone: text(40).default(''),
  replyTo: mailAddressOrNone.default(''),
  letterhead: text(500)
    .default('')
    .refine(lines => lines.split('\n').length <= 5, 'is more than five lines: keep those that every letter needs'),
})

export const crewSees = z.enum(['whole-home', 'without-contacts'])
export const crewForm = z.strictObject({ version, crewSees, crewDaysAfter: whole(0, 365) })

export const mailForm = z
  .strictObject({
    version,
    dailyMailCap: whole(1, 10_000),
    sendFromHour: whole(0, 23),
    sendToHour: whole(1, 24),
    resultMailOnAcceptance: ticked.default(false),
  })
  .refine(form => form.sendFromHour < form.sendToHour, {
    path: ['sendToHour'],
    error: 'is not after the hour that sending begins: make it later',
  })

export const cautionForm = z.strictObject({ version, cautionAdded: text(1000).default('') })

export const licencesForm = z.strictObject({ version, credentialWarningDays: whole(0, 730) })

export const versionForm = z.strictObject({ version })
export const releaseForm = z.strictObject({ version, released: z.enum(['yes', 'no']) })

const clockTime = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$|^24:00$/)
const credentialOut = z
  .object({
    holder: z.object({ id, name: z.string() }).nullable().meta({ description: 'Whose it is; null: the company’s own' }),
    kind: z.enum(['licence', 'certificate']),
    issuer: z.string().meta({ description: 'Empty when not known' }),
    number: z.string(),
    expiresOn: localDay.nullable().meta({ description: 'The last day it holds; null when not known' }),
  })
  .meta({ id: 'Credential' })

export const companyOut = z
  .object({
    name: z.string(),
    street: z.string(),
    city: z.string(),
    region: z.string(),
    postcode: z.string(),
    country: z.string().meta({ description: 'ISO 3166-1 alpha-2; empty when not given' }),
    zone: z.string().meta({ description: 'IANA time zone of the office', examples: ['America/Chicago'] }),
    defaultUnit: unit.meta({ description: 'The unit in which results are entered when none is said' }),
    defaultPressureUnit: pressureUnit.meta({ description: 'The unit in which gauges are read when none is said' }),
    phone: z.string(),
    replyTo: z.string().meta({ description: 'Where answers to mails go; empty when not given' }),
    licenceNumbers: z.array(z.string()).meta({
      description: 'The company’s own licences that have not run out, as letters print them; `credentials` says more',
    }),
    letterhead: z.string().meta({ description: 'Further lines under the address on letters and papers' }),
    credentials: z.array(credentialOut).meta({ description: 'Of the company and of the people who work for it' }),
    workingHours: z
      .object({
        week: z.array(z.array(z.object({ from: clockTime, until: clockTime }))).meta({
          description: 'Seven days, Monday first; several stretches a day, none on a day off; in `zone`',
        }),
        holidays: z.array(z.object({ day: localDay, name: z.string() })),
      })
      .meta({ id: 'WorkingHours' }),
    electricity: z
      .object({ price: decimalText, currency: z.string().meta({ description: 'ISO 4217' }) })
      .nullable()
      .meta({ description: 'Price of a kilowatt-hour; null when not given' }),
    cautionAdded: z
      .string()
      .meta({ description: 'The company’s own words, shown after every caution; they take nothing from it' }),
    logoUrl: z.url().nullable().meta({ description: 'PNG, at most 800 by 400 pixels; null when there is none' }),
    version: z.number().int(),
    updatedAt: instantOut,
  })
  .meta({ id: 'Company' })
