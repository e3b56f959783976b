import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { proposeHomes } from '../../src/intake/homes-table/propose-homes.ts'
import { openSheets } from '../../src/intake/table/open-sheets.ts'
import { gatherHomes, readHomes } from '../support/read-homes.ts'

// Workbooks written by LibreOffice Calc and by Gnumeric from the tables under tests/outside/sources; `npm run test:outside`
// writes them anew. What they must say is what the source says, typed here by hand.

async function read(name: string) {
  const file = await openSheets(readFileSync(join(import.meta.dirname, '..', 'outside', 'written', `${name}.xlsx`)))
  if (!file.ok) throw new Error(file.fault.problem)
  const proposed = proposeHomes(file.opened)
  if (!proposed.ok || proposed.open.length > 0) throw new Error(JSON.stringify(proposed))
  const of = readHomes(file.opened, proposed.reading, { companyName: 'Lakeside', today: '2026-11-27' })
  return { proposed, ...of, homes: gatherHomes(of.homes) }
}
type Read = Awaited<ReturnType<typeof read>>

const inBrief = ({ homes }: Read) =>
  homes.map(({ address, owner, systems: [system], tests }) => [
    address.street,
    `${address.city} ${address.region} ${address.postcode}`,
    `${owner?.name} ${owner?.phone ?? 'no phone'}`,
    system?.installed ?? null,
    system?.gauges.map(({ value, unit }) => `${value} ${unit}`).join() ?? null,
    tests.map(
      ({ purpose, qualifier, value, day, dateAsWritten }) =>
        `${purpose} ${qualifier}${value} ${day ?? `(${dateAsWritten})`}`,
    ),
  ])

describe.each(['calc', 'gnumeric'])('a workbook written by another program (%s)', program => {
  it('says what its source says: days, money, sums, postcodes with a zero in front, blanks that do not break', async () => {
    expect(inBrief(await read(`${program}-homes`))).toEqual([
      [
        ...['12 Foundry Ln', 'Boston MA 02134', 'Ann Quay +16175550101', '2014-04-12', '1.4 in. w.c.'],
        ['pre-mitigation =8.2 2014-03-30', 'post-mitigation =0.7 2014-05-31'],
      ],
      // A day and a postcode kept as bare numbers, a day with an hour, a value that is a sum.
      [
        ...['14 Foundry Ln', 'Boston MA 02134', 'Ben Birch +16175550102', '2014-04-12', '1.1 in. w.c.'],
        ['pre-mitigation =6.5 2014-03-30', 'post-mitigation =0.4 2014-05-31'],
      ],
      // A year and a month that are shown as such stay rough; 0.1 + 0.2 is 0.3; a third has no end.
      [
        ...['16 Foundry Ln', 'Boston MA 02134', 'Cy Cedar +16175550103', '2015', '0.3 in. w.c.'],
        ['pre-mitigation =1.333333 (2014-12)', 'post-mitigation =0.6 2015-02-10'],
      ],
      ['18 Foundry Ln', 'Boston MA 02134', 'Dee Dune no phone', '2011-21', '', []],
      [
        ...['20 Foundry Ln', 'Boston MA 02134', 'Eve Elm +16175550105', '2009?', '1.2 in. w.c.'],
        ['pre-mitigation =9.1 2009-06-01', 'post-mitigation <0.3 2009-08-03'],
      ],
      [
        ...['22 Foundry Ln', 'Boston MA 02134', 'Fay Fir no phone', '2016-07-04', ''],
        ['post-mitigation =12.4 2016-08-01'],
      ],
    ])
  })

  it('tells each error by row and column, and reads it as empty where the home is known', async () => {
    const { remarks, faults } = await read(`${program}-homes`)
    const problem = 'is an error of the spreadsheet'
    expect(remarks).toEqual(
      [
        ['Pre (pCi/L)', '#N/A'],
        ['Post (pCi/L)', '#DIV/0!'],
      ].map(([column, value]) => ({
        ...{ sheet: 'Homes', line: 6, column, value, problem },
        remedy: 'Correct its formula and save the table again, or leave it: it is read as empty.',
      })),
    )
    expect(faults).toMatchObject([{ sheet: 'Homes', line: 9, column: 'Address', value: '#REF!', problem }])
  })

  it('joins its sheets, leaves out prices and totals, and tells that rows are hidden', async () => {
    const { proposed, homes, skipped } = await read(`${program}-homes`)
    expect(proposed.sheets.map(({ name, read: isRead }) => [name, isRead])).toEqual([
      ['Homes', true],
      ['Fans', true],
      ['Prices', false],
    ])
    expect(homes.flatMap(({ systems }) => systems.flatMap(({ fans }) => fans.map(fan => fan.serial)))).toEqual([
      '70071',
      '0070072',
    ])
    expect(skipped).toEqual([{ sheet: 'Homes', line: 11, why: 'total' }])
    expect(proposed.hints).toEqual(['1 row of the sheet Homes is hidden in the workbook, and read like the others.'])
  })

  it('that counts its days from 1904 says the same days, formatted and bare', async () => {
    const days = (await read(`${program}-homes-1904`)).homes.map(({ systems, tests }) => [
      systems[0]?.installed,
      tests[0]?.day,
    ])
    expect(days).toEqual([
      ['2014-04-12', '2014-05-31'],
      ['2014-04-12', '2014-05-31'],
    ])
  })
})

it('a text table that a spreadsheet opened and saved keeps its postcodes, its rough dates and what lies below a limit', async () => {
  expect(inBrief(await read('gnumeric-list'))).toEqual([
    [
      ...['12 Foundry Ln', 'Boston MA 02134', 'Ann Quay no phone', '2014-04-12', ''],
      ['pre-mitigation =8.2 ()', 'post-mitigation =0.7 2014-05-31'],
    ],
    [
      ...['14 Foundry Ln', 'Boston MA 02134', 'Ben Birch no phone', '2011-21', ''],
      ['pre-mitigation =6.5 ()', 'post-mitigation <0.3 2011-06-01'],
    ],
    [
      ...['16 Foundry Ln', 'Boston MA 02134', 'Cy Cedar no phone', '2009?', ''],
      ['pre-mitigation =9.1 ()', 'post-mitigation =0.6 2009-08-03'],
    ],
  ])
})
