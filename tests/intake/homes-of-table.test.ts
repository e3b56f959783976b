import { expect, it } from 'vitest'
import { addressKey } from '../../src/domain/address/address-key.ts'
import type { AddressCells, HomeCells } from '../../src/intake/homes-table/home-facts.ts'
import { comparedOf } from '../../src/intake/homes-table/homes-of-table.ts'
import { Packed } from '../../src/intake/homes-table/packed.ts'
import { gatherHomes, homesOf } from '../support/read-homes.ts'

const duluth: AddressCells = {
  ...{ street: '12 Elm Street', unit: '', city: 'Duluth', region: 'MN', postcode: '55802', country: 'US' },
}
const row = (line: number, address: AddressCells, said: Partial<HomeCells> = {}): HomeCells => ({
  ...{ place: { sheet: '', line }, id: null, address, yearBuilt: null, foundation: null },
  ...{ owner: null, ownerSince: null, secondOwner: null, tenant: null, manager: null, system: null },
  ...{ tests: [], notes: [], ...said },
})
const elm = (n: number): AddressCells => ({ ...duluth, street: `${n} Elm Street` })

it('rows of one home are one, however far apart they stand and however many there are between them', () => {
  const many = 2_200
  const said = Array.from({ length: many }, (_, i) => row(2 + i, elm(i), { notes: [`first ${i}`] }))
  const again = said.toReversed().map((one, i) => row(2 + many + i, one.address, { notes: ['again'], yearBuilt: 1962 }))
  const homes = gatherHomes([...said, ...again])
  expect(homes).toHaveLength(many)
  for (const i of [0, 1, 15, 16, 1_100, 2_199])
    expect(homes[i]).toMatchObject({
      rows: [
        { sheet: '', line: 2 + i },
        { sheet: '', line: 2 + many + (many - 1 - i) },
      ],
      yearBuilt: 1962,
      notes: [`first ${i}`, 'again'],
    })
})

it('the address of a home is compared alike whether it is read off its row or off what is held of it', () => {
  const written: AddressCells[] = [
    duluth,
    { ...duluth, street: 'ID 55 Highway', unit: 'Apt. 4-B' },
    { ...duluth, street: '9 Rue de l’Église | 2', city: 'Saint Paul', region: 'M|N', postcode: '' },
    { ...duluth, region: '', postcode: '55802-1234' },
    { ...duluth, street: '', city: '', region: '', postcode: '', country: 'CA' },
  ]
  const homes = [...homesOf(written.map((address, i) => row(2 + i, address))).all()]
  expect(homes.map(comparedOf)).toEqual(written.map(addressKey))
  expect(homes.map(({ byId }) => byId)).toEqual([false, false, false, false, false])
})

it('what is held packed comes back as it was, in any order: also what is empty, half a character, or not yet packed', () => {
  const values = Array.from({ length: 5_001 }, (_, i) => ({
    i,
    text: ['', 'é😀', '\ud83d', '\0"\n'][i % 4],
    none: null,
  }))
  const packed = new Packed<(typeof values)[number]>()
  const numbers = values.map(value => packed.add(value))
  for (const i of [5_000, 0, 4_999, 2_500, 16, 15, 4_096]) expect(packed.get(numbers[i]!)).toEqual(values[i])
})
