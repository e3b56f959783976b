import { type CountryCode, isSupportedCountry, parsePhoneNumberFromString } from 'libphonenumber-js'
import { problem } from '../../platform/http/problem.ts'

/**
 * The number as E.164, read as dialled from `country` (ISO 3166-1) where it has no country code of its own.
 * Throws 422 when it can't be one.
 */
export function e164Of(written: string, country: string): string {
  const home = isSupportedCountry(country) ? (country as CountryCode) : undefined
  const number = parsePhoneNumberFromString(written, home)
  if (number?.isPossible()) return number.number
  throw problem(422, 'impossible', 'The phone number can not be dialled.', [
    {
      pointer: '/phone',
      code: 'phone',
      detail: `“${written}” is no phone number${home ? ` in ${home}` : ''}: write it in full, with + and country code if it is abroad`,
    },
  ])
}
