import { type CountryCode, isSupportedCountry, parsePhoneNumberFromString } from 'libphonenumber-js'
import { problem } from '../../platform/http/problem.ts'

/** The number as E.164, read as dialled from `country` (ISO 3166-1) where it has no country code of its own; null when it can't be one. */
export function possibleE164(written: string, country: string): string | null {
  const home = isSupportedCountry(country) ? (country as CountryCode) : undefined
  const number = parsePhoneNumberFromString(written, home)
  return number?.isPossible() ? number.number : null
}

/** The same; throws 422 when it can't be one. */
export function e164Of(written: string, country: string): string {
  const number = possibleE164(written, country)
  if (number) return number
  throw problem(422, 'impossible', 'The phone number can not be dialled.', [
    {
      pointer: '/phone',
      code: 'phone',
      detail: `“${written}” is no phone number${isSupportedCountry(country) ? ` in ${country}` : ''}: write it in full, with + and country code if it is abroad`,
    },
  ])
}
