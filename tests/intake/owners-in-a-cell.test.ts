import { describe, expect, it } from 'vitest'
import { readOwners } from '../../src/intake/homes-table/read-owners.ts'

const names = (cell: string) => {
  const { first, second, unclear } = readOwners(cell)
  return [first?.name ?? null, second?.name ?? null, ...(unclear ? ['unclear'] : [])]
}

describe('a cell of owners', () => {
  it.each([
    ['John & Mary Smith', 'John Smith', 'Mary Smith'],
    ['John A. and Mary O’Neil-Smith', 'John A. O’Neil-Smith', 'Mary O’Neil-Smith'],
    ['Smith, John & Mary', 'John Smith', 'Mary Smith'],
    ['J. Smith / M. Jones', 'J. Smith', 'M. Jones'],
    ['Ann Holm + Ben Falk', 'Ann Holm', 'Ben Falk'],
    ['Ann Holm; Ben van den Berg', 'Ann Holm', 'Ben van den Berg'],
  ])('that plainly names two is two people: %s', (cell, first, second) => {
    expect(names(cell)).toEqual([first, second])
  })

  it.each([
    'Smith / Jones',
    'Mr. & Mrs. Smith',
    'Mr. and Mrs. John Smith',
    'Smith & Sons',
    'John & Mary',
    'A B & C D & E F',
  ])('that may name several stays one, and is told: %s', cell => {
    expect(names(cell)).toEqual([cell, null, 'unclear'])
  })

  it.each(['Ferdinand Anders', 'Brandon Sanders', 'Smith & Sons LLC', 'Lakeside Rentals & Management', 'Smith, John'])(
    'of one person or a company is one: %s',
    cell => {
      expect(names(cell).slice(1)).toEqual([null])
    },
  )
})
