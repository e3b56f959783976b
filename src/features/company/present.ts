import type { z } from 'zod'
import type { LocalDay } from '../../domain/facts.ts'
import { instantText } from '../../platform/http/scalars.ts'
import type { Company, ListedCredential } from './queries.ts'
import type { companyOut } from './schemas.ts'

/** The company as an app sees it: what it says of itself, not how it works. */
export const presentCompany = (
  company: Company,
  credentials: readonly ListedCredential[],
  { today, publicUrl }: { readonly today: LocalDay; readonly publicUrl: string },
): z.output<typeof companyOut> => ({
  name: company.name,
  street: company.street,
  city: company.city,
  region: company.region,
  postcode: company.postcode,
  country: company.country,
  zone: company.zone,
  defaultUnit: company.defaultUnit,
  defaultPressureUnit: company.defaultPressureUnit,
  phone: company.phone,
  replyTo: company.replyTo,
  licenceNumbers: credentials
    .filter(({ holder, expiresOn }) => holder === null && (expiresOn === null || expiresOn >= today))
    .map(({ issuer, number }) => `${issuer} ${number}`.trim()),
  letterhead: company.letterhead,
  credentials: credentials.map(({ holder, kind, issuer, number, expiresOn }) => ({
    holder,
    kind,
    issuer,
    number,
    expiresOn,
  })),
  workingHours: {
    week: company.workingWeek.map(spans => spans.map(({ from, until }) => ({ from, until }))),
    holidays: company.holidays.map(({ day, name }) => ({ day, name })),
  },
  electricity:
    company.electricityPrice === null || company.electricityCurrency === null
      ? null
      : { price: company.electricityPrice, currency: company.electricityCurrency },
  cautionAdded: company.cautionAdded,
  logoUrl: company.logoSha256 ? new URL('/company/logo', publicUrl).href : null,
  version: company.version,
  updatedAt: instantText(company.updatedAt),
})
