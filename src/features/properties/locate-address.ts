import { isZone } from '../../domain/calendar/zone-offset.ts'
import { singleZoneCountries } from './single-zone-countries.ts'

export type Address = {
  readonly street: string
  readonly unit: string
  readonly city: string
  readonly region: string
  readonly postcode: string
  readonly country: string
}
export type AddressFault = { readonly pointer: string; readonly code: string; readonly detail: string }
export type Located = {
  readonly address: Address
  /** IANA zone, null where the address alone does not tell it. */
  readonly zone: string | null
  /** `US-MN`, `GB`. */
  readonly jurisdiction: string
  readonly faults: readonly AddressFault[]
}

// Large tables, loaded by the first who asks; asking the loader again for each of 12,000 addresses takes seconds.
const places = once(async () => (await import('zipcodes')).default)
const zones = once(async () => (await import('@photostructure/tz-lookup')).default)

function once<T>(load: () => Promise<T>): () => Promise<T> {
  let loaded: Promise<T> | undefined
  return () => (loaded ??= load())
}

const postcodeForms: Record<string, { form: RegExp; like: string }> = {
  US: { form: /^\d{5}(-\d{4})?$/, like: '55401' },
  CA: { form: /^[ABCEGHJ-NPRSTVXY]\d[A-Z] \d[A-Z]\d$/, like: 'K1A 0B1' },
  GB: { form: /^[A-Z]{1,2}\d[A-Z\d]? \d[A-Z]{2}$/, like: 'SW1A 1AA' },
}

/**
 * Tidies an address, checks it as far as its country allows, and finds its zone and jurisdiction.
 * A zone comes from the postcode's (US, Canada) or the town's place on the map, or from a country that keeps one time.
 */
export async function locateAddress(written: Address): Promise<Located> {
  const postcode = tidyPostcode(written.postcode, written.country)
  if (written.country !== 'US' && written.country !== 'CA') {
    const address = { ...written, postcode }
    const zone = singleZoneCountries[written.country] ?? null
    return { address, zone, jurisdiction: jurisdictionOf(address), faults: postcodeFaults(address) }
  }
  const zipcodes = await places()
  const region = zipcodes.states.normalize(written.region) ?? written.region
  const address = { ...written, postcode, region }
  const place = zipcodes.lookup(postcode.slice(0, 5)) ?? zipcodes.lookupByName(written.city, region)[0]
  const placeRegion = place && zipcodes.states.normalize(place.state)
  const faults = postcodeFaults(address)
  if (faults.length === 0 && placeRegion && placeRegion !== region) faults.push(elsewhere(address, placeRegion))
  return { address, zone: place ? await zoneAt(place) : null, jurisdiction: jurisdictionOf(address), faults }
}

async function zoneAt(place: { latitude: number; longitude: number }): Promise<string | null> {
  const zoneOf = await zones()
  const zone = zoneOf(place.latitude, place.longitude)
  return isZone(zone) ? zone : null
}

const jurisdictionOf = (address: Address) =>
  ['US', 'CA', 'AU'].includes(address.country) && address.region !== ''
    ? `${address.country}-${address.region}`
    : address.country

// Canada and the United Kingdom write a space before the last three; people leave it out.
function tidyPostcode(written: string, country: string): string {
  const upper = written.trim().toUpperCase().replaceAll(/\s+/g, ' ')
  const bare = upper.replaceAll(' ', '')
  return (country === 'CA' || country === 'GB') && bare.length >= 5 ? `${bare.slice(0, -3)} ${bare.slice(-3)}` : upper
}

function postcodeFaults({ postcode, country }: Address): AddressFault[] {
  const known = postcodeForms[country]
  if (!known || postcode === '' || known.form.test(postcode)) return []
  const detail = `“${postcode}” is no postcode of ${country}: write it like ${known.like}`
  return [{ pointer: '/postcode', code: 'postcode', detail }]
}

const elsewhere = ({ postcode, city, region }: Address, placeRegion: string): AddressFault => ({
  pointer: '/region',
  code: 'region',
  detail: `${postcode || city} lies in ${placeRegion}, not in ${region || 'an unnamed region'}: correct one of them`,
})
