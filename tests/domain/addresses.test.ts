import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { addressKey, addressText, houseOf, partUnit, tellingWord } from '../../src/domain/address/address-key.ts'
import { likelySame } from '../../src/domain/address/likely-same.ts'
import { isSameBuilding, isSameHome } from '../../src/domain/address/same-building.ts'

// Abbreviations: United States Postal Service, Publication 28, appendix C1.

const at = (street: string, over: Partial<Record<'unit' | 'city' | 'region' | 'postcode', string>> = {}) =>
  addressKey({ street, unit: '', city: 'Duluth', region: 'MN', postcode: '55802', ...over })
const same = (a: string, b: string) => addressText(at(a)) === addressText(at(b))

describe('an address as it is compared', () => {
  it.each([
    ['123 North First Street', '123 N. 1st St'],
    ['12 Foundry Lane', '12  FOUNDRY LN.'],
    ['8 Saint Croix Ave', '8 St. Croix Avenue'],
    ['40 Café Road', '40 Cafe Rd'],
    ["7 O'Brien Ct", '7 OBrien Court'],
    ['0012 Elm Street', '12 Elm St'],
    ['12 Elm St, Apt 4', '12 Elm Street #4'],
    ['12 Main St', '12 Main Street'],
    ['12 North Main St Unit 2', '12 N Main St #2'],
    ['12 Elm St Unit 4-B', '12 Elm St apt. 4b'],
    ['500 Lake Boulevard Suite 210', '500 Lake Blvd Ste 210'],
  ])('%s is %s', (a, b) => expect(same(a, b)).toBe(true))

  it.each([
    ['12 Elm St', '12 Elm Ave'],
    ['12 Elm St', '112 Elm St'],
    ['12 Elm St Apt 4', '12 Elm St Apt 5'],
    ['12 Elm St', '12 1/2 Elm St'],
    ['12 N Elm St', '12 S Elm St'],
  ])('%s is not %s', (a, b) => expect(same(a, b)).toBe(false))

  it('takes a unit from its own column as one behind the street, and a ZIP+4 as its ZIP', () => {
    const parted = at('12 Elm St', { unit: 'Unit 4', postcode: '55802-1234' })
    expect(addressText(parted)).toBe(addressText(at('12 Elm Street, #4')))
  })

  it('parts the unit from the street and leaves the number alone', () => {
    expect(partUnit('12 Elm St Apt 4')).toEqual({ street: '12 Elm St', unit: 'Apt 4' })
    expect(partUnit('# 4')).toEqual({ street: '# 4', unit: '' })
    expect(houseOf(at('Lot 7 County Road 12'))).toBe('7')
    expect(houseOf(at('Rural Route'))).toBe('rural')
  })

  it('is the same however the case and the blanks are, and its key is its own key', () => {
    const street = fc.stringMatching(/^[1-9]\d{0,3} [A-Za-zÀ-ÿ]{1,12}(?: (?:Street|Ave|Ln\.|Boulevard))?(?: Apt \d)?$/)
    fc.assert(
      fc.property(street, text => {
        const key = addressText(at(text))
        expect(addressText(at(text.toUpperCase().replaceAll(' ', '   ')))).toBe(key)
        const parts = at(text)
        expect(addressText(addressKey(parts))).toBe(key)
      }),
    )
  })
})

describe('a building', () => {
  it('holds every unit of one street and number, where no town, postcode or state speaks against it', () => {
    expect(isSameBuilding(at('12 Main St Apt 2'), at('12 Main Street', { unit: '#3', postcode: '' }))).toBe(true)
    expect(isSameHome(at('12 Main St Apt 2'), at('12 Main Street', { unit: '#3' }))).toBe(false)
    expect(isSameHome(at('12 Main St Apt 2'), at('12 Main Street', { unit: 'Unit 2', city: '' }))).toBe(true)
    expect(isSameBuilding(at('12 Main St'), at('12 Main St', { city: 'Hermantown' }))).toBe(false)
    expect(isSameBuilding(at('12 Main St'), at('12 Main St', { postcode: '55811' }))).toBe(false)
    expect(isSameBuilding(at('12 N Main St'), at('12 S Main St'))).toBe(false)
  })

  it.each([
    ['12 North Main Street', 'main'],
    ['8 Saint Croix Ave', 'croix'],
    ["7 O'Brien Ct", 'obrien'],
    ['100 1st St', ''],
  ])('on %s has %j in every way of writing it', (street, word) => expect(tellingWord(at(street))).toBe(word))
})

describe('two addresses', () => {
  it.each([
    ['12 Elm St', '12 Elm'],
    ['12 N Elm St', '12 Elm St'],
    ['12 Foundry Ln', '12 Foundy Ln'],
    ['12 Elm St Apt 4', '12 Elm St'],
  ])('%s and %s may be one home', (a, b) => expect(likelySame(at(a), at(b))).toEqual(expect.any(String)))

  it.each([
    ['12 Elm St', '14 Elm St'],
    ['12 Elm St', '12 Elk St'],
    ['12 Elm St', '12 Elm Ave'],
    ['12 N Elm St', '12 S Elm St'],
    ['12 Elm St Apt 4', '12 Elm St Apt 5'],
  ])('%s and %s are two', (a, b) => expect(likelySame(at(a), at(b))).toBeNull())

  it('in two towns with two postcodes are two, with one postcode may be one', () => {
    expect(likelySame(at('12 Elm St'), at('12 Elm St', { city: 'Hermantown', postcode: '55811' }))).toBeNull()
    expect(likelySame(at('12 Elm St'), at('12 Elm St', { city: 'Hermantown' }))).toBe('the towns differ')
    expect(likelySame(at('12 Elm St'), at('12 Elm St', { postcode: '' }))).toBe('only one has a postcode')
  })

  it('are judged alike from either side', () => {
    const street = fc.constantFrom('12 Elm St', '12 N Elm', '12 Elms St', '12 Elm St #4', '12 Foundry Ln', '12 Foundy')
    fc.assert(
      fc.property(street, street, (a, b) => {
        expect(likelySame(at(a), at(b)) === null).toBe(likelySame(at(b), at(a)) === null)
      }),
    )
  })
})
