import { describe, expect, it } from 'vitest'
import { type Address, locateAddress } from '../../../src/features/properties/locate-address.ts'

const at = (over: Partial<Address>): Address => ({
  street: '1 Main Street',
  unit: '',
  city: 'Duluth',
  region: 'MN',
  postcode: '55803',
  country: 'US',
  ...over,
})

describe('the zone of a home', () => {
  // Zones by the tz database (IANA 2025), towns chosen on both sides of a zone's border or for a rule of their own.
  it.each([
    ['Duluth', 'MN', '55803', 'US', 'America/Chicago'],
    ['Phoenix', 'AZ', '85001', 'US', 'America/Phoenix'],
    ['El Paso', 'TX', '79901', 'US', 'America/Denver'],
    ['Dallas', 'TX', '75201', 'US', 'America/Chicago'],
    ['Iron Mountain', 'MI', '49801', 'US', 'America/Menominee'],
    ['Detroit', 'MI', '48201', 'US', 'America/Detroit'],
    ['Boise', 'ID', '83702', 'US', 'America/Boise'],
    ['Honolulu', 'HI', '96813', 'US', 'Pacific/Honolulu'],
    ['Regina', 'SK', 'S4P 3Y2', 'CA', 'America/Regina'],
    ['St. John’s', 'NL', 'A1A 1A1', 'CA', 'America/St_Johns'],
    ['Toronto', 'ON', 'M5V 2T6', 'CA', 'America/Toronto'],
    ['London', '', 'SW1A 1AA', 'GB', 'Europe/London'],
  ])('of %s %s %s (%s) is found to be %5$s', async (city, region, postcode, country, zone) => {
    expect(await locateAddress(at({ city, region, postcode, country }))).toMatchObject({ zone, faults: [] })
  })

  it('is found from the town where the postcode is not known', async () => {
    expect((await locateAddress(at({ postcode: '' }))).zone).toBe('America/Chicago')
  })

  it('is left open where neither postcode nor town nor country tells it', async () => {
    expect((await locateAddress(at({ city: 'Nowhereton', postcode: '' }))).zone).toBeNull()
    expect((await locateAddress(at({ country: 'ES', region: '', city: 'Vigo', postcode: '36201' }))).zone).toBeNull()
  })
})

describe('an address', () => {
  it('is tidied: states by their letters, the postcode with its gap', async () => {
    expect((await locateAddress(at({ region: 'minnesota' }))).address.region).toBe('MN')
    const canadian = await locateAddress(at({ city: 'Ottawa', region: 'ontario', postcode: 'k1a0b1', country: 'CA' }))
    expect(canadian.address).toMatchObject({ region: 'ON', postcode: 'K1A 0B1' })
    const british = await locateAddress(at({ city: 'London', region: '', postcode: 'sw1a1aa', country: 'GB' }))
    expect(british.address.postcode).toBe('SW1A 1AA')
  })

  it.each([
    ['US', '5580'],
    ['US', '55803-12'],
    ['CA', 'D1A 0B1'],
    ['GB', 'SW1A 1A'],
  ])('in %s with the postcode %s is refused, and told how one looks', async (country, postcode) => {
    const { faults } = await locateAddress(at({ country, postcode, region: '' }))
    expect(faults).toMatchObject([{ pointer: '/postcode', code: 'postcode' }])
  })

  it('whose postcode lies in another state is refused, and told where it lies', async () => {
    const { faults } = await locateAddress(at({ region: 'WI' }))
    expect(faults).toEqual([
      { pointer: '/region', code: 'region', detail: '55803 lies in MN, not in WI: correct one of them' },
    ])
  })

  it('gives its jurisdiction: the state in a federation, the country elsewhere', async () => {
    expect((await locateAddress(at({}))).jurisdiction).toBe('US-MN')
    expect((await locateAddress(at({ country: 'GB', region: 'Kent', postcode: 'CT1 2EH' }))).jurisdiction).toBe('GB')
  })
})
