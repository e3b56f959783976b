import type { z } from 'zod'
import { instantText } from '../../platform/http/scalars.ts'
import type { Company } from './queries.ts'
import type { companyOut } from './schemas.ts'

/** The company as an app sees it: what it says of itself, not how it works. */
export const presentCompany = (company: Company, publicUrl: string): z.output<typeof companyOut> => ({
  name: company.name,
  street: company.street,
  city: company.city,
  region: company.region,
  postcode: company.postcode,
  country: company.country,
  zone: company.zone,
  defaultUnit: company.defaultUnit,
  phone: company.phone,
  replyTo: company.replyTo,
  licenceNumbers: company.licenceNumbers,
  logoUrl: company.logoSha256 ? new URL('/company/logo', publicUrl).href : null,
  version: company.version,
  updatedAt: instantText(company.updatedAt),
})
