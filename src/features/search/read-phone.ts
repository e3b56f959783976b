import { type CountryCode, isSupportedCountry, parsePhoneNumberFromString } from 'libphonenumber-js'

/**
 * A phone number however it is written (`+44 (0)20 7946 0123`, `00 1 218 …`, `ext. 4` behind it), as numbers are kept;
 * null for anything else. `country` is where numbers without one are dialled.
 */
export function phoneMeant(typed: string, country: string): string | null {
  if (typed.replaceAll(/\D/g, '').length < 7) return null
  const from = isSupportedCountry(country) ? (country as CountryCode) : undefined
  const number = parsePhoneNumberFromString(typed, from)
  return number?.isPossible() ? number.number : null
}
