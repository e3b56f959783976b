import { parsePhoneNumberFromString } from 'libphonenumber-js'

/** A phone number as people write it: national form in `country`, international form for a number abroad. */
export function writtenNumber(e164: string, country: string): string {
  const number = parsePhoneNumberFromString(e164)
  if (!number) return e164
  return number.country === country ? number.formatNational() : number.formatInternational()
}
