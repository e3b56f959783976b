import { describe, expect, it } from 'vitest'
import { proposeTable, type ToldTable } from '../../src/intake/results-table/propose-table.ts'
import { readTable } from '../../src/intake/results-table/read-table.ts'

const propose = (text: string, told?: ToldTable) => {
  const proposed = proposeTable(Buffer.from(text), told)
  if (!proposed.ok) throw new Error(JSON.stringify(proposed.faults))
  return proposed
}
const read = (text: string, told?: ToldTable) => readTable(Buffer.from(text), propose(text, told).reading)

const TABLE = `Address,City,State,ZIP,Room,Floor,Method,Purpose,Start date,Start time,End date,End time,Result (pCi/L),Kit
12 Foundry Lane,Duluth,MN,55802,Den,basement,charcoal canister,initial,10/14/2025,5:30 PM,10/16/2025,6:00 PM,3.9,K-1
"8 Quay Street, Rear",Duluth,MN,55802,Hall,first floor,alpha track,post-mitigation,10/15/2025,09:00,12/30/2025,09:00,<0.4,K-2
`

describe('a table of single results', () => {
  it('is read by its headers', () => {
    expect(propose(TABLE).open).toEqual([])
    expect(read(TABLE).rows).toMatchObject([
      {
        line: 2,
        home: { street: '12 Foundry Lane', city: 'Duluth', region: 'MN', postcode: '55802' },
        location: 'Den',
        floor: -1,
        method: 'activated-charcoal',
        purpose: 'pre-mitigation',
        start: { wallMs: Date.UTC(2025, 9, 14, 17, 30), offsetMinutes: null },
        stop: { wallMs: Date.UTC(2025, 9, 16, 18) },
        value: '3.9',
        qualifier: '=',
        unit: 'pCi/L',
        kitNumber: 'K-1',
      },
      {
        line: 3,
        home: { street: '8 Quay Street, Rear' },
        floor: 0,
        method: 'alpha-track',
        value: '0.4',
        qualifier: '<',
      },
    ])
  })

  it('keeps the places a value was written with', () => {
    expect(read(TABLE.replace(',3.9,', ',4.0,')).rows[0]!.value).toBe('4.0')
    expect(
      read('Home;Result (Bq/m3)\nA;1.234,50\n', { constants: { method: 'alpha-track', purpose: 'retest' } }).rows[0]!
        .value,
    ).toBe('1234.50')
  })

  it('lists every bad cell by line, column and value, and reads the good rows', () => {
    const bad = `${TABLE}9 Elm,Duluth,MN,55802,Den,attic-ish,magic,initial,10/14/2025,,10/13/2025,,x,K-3\n`
    const outcome = read(bad)
    expect(outcome.rows.map(({ line }) => line)).toEqual([2, 3])
    expect(outcome.badLines).toBe(1)
    expect(outcome.faults.map(({ line, column, value }) => [line, column, value])).toEqual([
      [4, 'Result (pCi/L)', 'x'],
      [4, 'Method', 'magic'],
      [4, 'Floor', 'attic-ish'],
      [4, 'End date', '10/13/2025'],
    ])
  })

  it('asks for what no column tells', () => {
    expect(
      propose('Home,Value\nA,3.9\n', {
        columns: [
          { index: 0, role: 'street', name: 'Home' },
          { index: 1, role: 'value', name: 'Value' },
        ],
      }).open,
    ).toEqual(['unit', 'method', 'purpose'])
    expect(propose('a,b\n1,2\n').open).toEqual(expect.arrayContaining(['value', 'home']))
    const ambiguous = TABLE.replaceAll(/10\/1(\d)/g, '10/0$1').replace('12/30/2025', '12/09/2025')
    expect(propose(ambiguous).open).toEqual(['dateOrder'])
  })

  it('takes what holds for all rows from the reading', () => {
    const told = {
      constants: {
        method: 'activated-charcoal',
        purpose: 'pre-mitigation',
        start: '1988-01-04T12:00',
        stop: '1988-01-06T12:00',
      },
    } as const
    const [row] = read('home,county,floor,radon_pci_per_l\n1,AITKIN,first floor,2.3\n', told).rows
    expect(row).toMatchObject({
      home: { street: '1', city: 'AITKIN' },
      floor: 0,
      value: '2.3',
      unit: 'pCi/L',
      start: { wallMs: Date.UTC(1988, 0, 4, 12) },
    })
  })

  it('reads a cell that runs over lines and refuses a quote never closed', () => {
    const over = TABLE.replace('12 Foundry Lane', '"12 Foundry Lane\nRear"')
    expect(read(over).rows.map(({ line, home }) => [line, home.street])).toEqual([
      [2, '12 Foundry Lane Rear'],
      [4, '8 Quay Street, Rear'],
    ])
    expect(read(`${TABLE}"9 Elm,Duluth\n`).faults).toMatchObject([
      { line: 4, problem: expect.stringContaining('never closed') },
    ])
  })

  it('in North America the first floor is the ground floor, elsewhere the one above', () => {
    const floors = (country: string) => read(TABLE, { constants: { country } }).rows.map(({ floor }) => floor)
    expect([floors('US'), floors('GB')]).toEqual([
      [-1, 0],
      [-1, 1],
    ])
  })
})
