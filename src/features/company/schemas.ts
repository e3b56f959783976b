import { z } from 'zod'
import { filledText, instantOut, text } from '../../platform/http/scalars.ts'

const unit = z.enum(['pCi/L', 'Bq/m3'])
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
const whole = (least: number, most: number) =>
  z.coerce
    .number({ error: 'is no whole number' })
    .int('is no whole number')
    .min(least, `is at least ${least}`)
    .max(most, `is at most ${most}`)
const version = z.coerce.number().int().positive()

/** One licence or certification number a line. */
const licenceNumbers = z
  .string()
  .max(2000)
  .transform(lines =>
    lines
      .split(/\r?\n/)
      .map(line => line.trim())
      .filter(Boolean),
  )
  .refine(list => list.length <= 20, 'are more than 20: keep those that customers must see')

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
  phone: text(40).default(''),
  replyTo: mailAddressOrNone.default(''),
  licenceNumbers: licenceNumbers.default([]),
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

export const versionForm = z.strictObject({ version })
export const releaseForm = z.strictObject({ version, released: z.enum(['yes', 'no']) })

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
    phone: z.string(),
    replyTo: z.string().meta({ description: 'Where answers to mails go; empty when not given' }),
    licenceNumbers: z.array(z.string()),
    logoUrl: z.url().nullable().meta({ description: 'PNG, at most 800 by 400 pixels; null when there is none' }),
    version: z.number().int(),
    updatedAt: instantOut,
  })
  .meta({ id: 'Company' })
