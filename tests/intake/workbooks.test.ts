import { describe, expect, it } from 'vitest'
import { proposeHomes, type ToldHomes } from '../../src/intake/homes-table/propose-homes.ts'
import { openSheets } from '../../src/intake/table/open-sheets.ts'
import { gatherHomes, readHomes } from '../support/read-homes.ts'
import { aWorkbook, type Cell, type MadeSheet, zipped } from '../support/workbook.ts'

async function read(bytes: Buffer, told?: ToldHomes) {
  const file = await openSheets(bytes)
  if (!file.ok) throw new Error(file.fault.problem)
  const proposed = proposeHomes(file.opened, told)
  if (!proposed.ok) throw new Error(JSON.stringify(proposed.faults))
  return { proposed, ...readHomes(file.opened, proposed.reading, { companyName: 'Lakeside', today: '2026-11-27' }) }
}
const refusal = async (bytes: Buffer) => {
  const file = await openSheets(bytes)
  return file.ok ? null : file.fault
}
const homes = (...rows: readonly (readonly Cell[])[]): MadeSheet => ({
  name: 'Homes',
  rows: [
    ['Jobs of Lakeside'],
    ['Owner', 'Address', 'City', 'State', 'Zip', 'Installed', 'Post (pCi/L)', 'Post date'],
    ...rows,
  ],
})
const smith: readonly Cell[] = [
  'John Smith',
  '12 Foundry Ln',
  'Duluth',
  'MN',
  55802,
  { day: 41_741 },
  0.8,
  { day: 41_790 },
]

describe('a workbook', () => {
  it('is read like a text file, its days as days and its numbers as they stand', async () => {
    const { homes: read1 } = await read(await aWorkbook(homes(smith)))
    expect(read1).toMatchObject([
      {
        place: { sheet: 'Homes', line: 3 },
        address: { street: '12 Foundry Ln', postcode: '55802' },
        system: { installed: '2014-04-12' },
        tests: [{ value: '0.8', day: '2014-05-31' }],
      },
    ])
  })

  it('of several sheets is joined by the addresses; a sheet without homes is left out', async () => {
    const fans: MadeSheet = {
      name: 'Fans',
      rows: [
        ['Address', 'City', 'State', 'Zip', 'Fan model', 'Fan serial'],
        ['12 Foundry Lane', 'Duluth', 'MN', 55802, 'Gale', 'G-7'],
      ],
    }
    const prices: MadeSheet = {
      name: 'Prices',
      rows: [
        ['Item', 'Cost'],
        ['Pipe', 12],
      ],
    }
    const { proposed, homes: rows } = await read(await aWorkbook(homes(smith), fans, prices))
    expect(proposed.sheets.map(({ name, read: isRead }) => [name, isRead])).toEqual([
      ['Homes', true],
      ['Fans', true],
      ['Prices', false],
    ])
    const [home, ...others] = gatherHomes(rows)
    expect(others).toEqual([])
    expect(home).toMatchObject({
      rows: [{ sheet: 'Homes' }, { sheet: 'Fans' }],
      systems: [{ installed: '2014-04-12', fans: [{ serial: 'G-7' }] }],
    })
  })

  it('with cells merged over rows says the same in each', async () => {
    const rows = [smith, [null, '14 Foundry Ln', null, 'MN', 55802]]
    const { homes: found } = await read(
      await aWorkbook({ ...homes(...(rows as Cell[][])), merged: ['A3:A4', 'C3:C4', 'A1:H1'] }),
    )
    expect(found.map(({ owner, address }) => [owner?.name, address.city])).toEqual([
      ['John Smith', 'Duluth'],
      ['John Smith', 'Duluth'],
    ])
  })

  it('takes the value of a formula, and tells one without a value by row and column', async () => {
    const formula = (value?: number) => [...smith.slice(0, 6), { formula: 'A1+1', value }, smith[7]!] as Cell[]
    const { homes: found, faults } = await read(await aWorkbook(homes(formula(1.5), formula())))
    expect(found.map(({ tests }) => tests[0]!.value)).toEqual(['1.5'])
    expect(faults).toMatchObject([
      { sheet: 'Homes', line: 4, column: 'Post (pCi/L)', problem: 'is a formula without a value' },
    ])
  })
})

it('a text table saved from columns too narrow tells each such cell, and keeps what else the row says', async () => {
  const { homes: found, remarks } = await read(
    Buffer.from(
      'Owner,Address,City,Zip,Installed\nJohn\u00a0Smith,12 Foundry Ln,Duluth,55802,########\nMary Oak,14 Foundry Ln,Duluth,55802,2011\n',
    ),
  )
  expect(found.map(({ owner, system }) => [owner?.name, system?.installed ?? null])).toEqual([
    ['John Smith', null],
    ['Mary Oak', '2011'],
  ])
  expect(remarks).toMatchObject([
    { line: 2, column: 'Installed', value: '########', problem: 'was saved from a column too narrow to show it' },
  ])
})

describe('what is no workbook that can be read', () => {
  it('is refused with what to do: an old workbook, an OpenDocument table, another archive, a damaged one', async () => {
    const saveAs = expect.stringContaining('save it as a workbook (.xlsx) or as CSV')
    expect(await refusal(Buffer.from('d0cf11e0a1b11ae1', 'hex'))).toMatchObject({
      problem: expect.stringContaining('.xls'),
      remedy: saveAs,
    })
    const ods = await zipped({ mimetype: 'application/vnd.oasis.opendocument.spreadsheet', 'content.xml': '<x/>' })
    expect(await refusal(ods)).toMatchObject({ problem: expect.stringContaining('OpenDocument'), remedy: saveAs })
    expect(await refusal(await zipped({ 'readme.txt': 'hello' }))).toMatchObject({
      problem: expect.stringContaining('zip archive'),
    })
    const cut = (await aWorkbook(homes(smith))).subarray(0, 600)
    expect(await refusal(Buffer.from(cut))).toMatchObject({ problem: expect.stringContaining('damaged') })
  })

  it('that unpacks to more than the memory should hold is refused before it is unpacked', async () => {
    const bomb = await zipped({ 'xl/workbook.xml': '<workbook/>', 'xl/media/big.bin': Buffer.alloc(300 * 1024 * 1024) })
    expect(bomb.length).toBeLessThan(1024 * 1024)
    const before = process.memoryUsage().arrayBuffers
    expect(await refusal(bomb)).toMatchObject({ code: 'too-large' })
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(64 * 1024 * 1024)
  })
})
