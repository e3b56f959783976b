/**
 * An old table of 900 invented homes, spoilt as people spoil spreadsheets:
 *
 *  1 a title and a note above the headers          2 headers over two words, with line breaks and odd spellings
 *  3 blank rows                                    4 the headers once more in the middle
 *  5 a heading between rows (“2014 jobs”)          6 a totals row at the end
 *  7 dates as spreadsheet day numbers              8 dates in words (“spring 2011”, “2009?”, “ca 2010”)
 *  9 dates that are none (“see folder”)           10 a date in the future
 * 11 ditto marks                                  12 two phones in a cell, with words around them
 * 13 a phone that is none (“call her sister”)     14 a mail address that is none
 * 15 “Last, First” beside “First Last”            16 two owners in a cell
 * 17 ZIP codes that lost their zero               18 states written out, abbreviated, in small letters
 * 19 the same home twice, spelt alike but for case and abbreviations
 * 20 the same home twice with a slip in the street 21 two homes in one cell
 * 22 a unit behind the street, and in two ways    23 results with units, stars and “<” in the cell
 * 24 “ND”, “pending”, two results in a cell       25 a gauge with inch marks, and one in words
 * 26 unknown as “?”, “n/a”, “unk”, “-”            27 line breaks inside quoted cells
 * 28 a comma without quotes that moves the row    29 a postcode of another state
 * 30 a row without an address                     31 columns nobody knows, with remarks that matter
 */
const generator = (seed: number) => () => {
  seed = (seed + 0x6d2b79f5) | 0
  let t = Math.imul(seed ^ (seed >>> 15), 1 | seed)
  t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
  return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296
}

const STREETS = ['Foundry', 'Quay', 'Birch', 'Cedar', 'Harbor', 'Juniper', 'Kestrel', 'Larkspur', 'Meadow', 'Orchard']
const KINDS = [
  ['Street', 'St', 'ST.'],
  ['Avenue', 'Ave', 'av'],
  ['Lane', 'Ln', 'LN'],
  ['Drive', 'Dr.', 'drive'],
] as const
const TOWNS = [
  { city: 'Duluth', region: ['MN', 'Minnesota', 'mn', 'Minn.'], zip: '55802' },
  { city: 'Rochester', region: ['MN', 'Minn.', 'minnesota'], zip: '55901' },
  { city: 'Worcester', region: ['MA', 'Mass.', 'ma'], zip: '01602' },
] as const
const FIRST = ['Ann', 'Ben', 'Cara', 'Dev', 'Ella', 'Finn', 'Gita', 'Hugo', 'Ines', 'Jon']
const LAST = ['Aldous', 'Brandt', 'Castell', 'Dunmore', 'Ericson', 'Falk', 'Garnet', 'Holm', 'Ivers', 'Jansson']
const WORDS_FOR_UNKNOWN = ['', '?', 'n/a', 'unk', '-']
const ROUGH = ['spring 2011', '2009?', 'ca 2010', '03/2014', 'before 2005', "fall '09", '2010-2012', 'late 1990s']

export const HEADERS = [
  'Cust. Name',
  'Property\nAddress',
  'City',
  'ST',
  'ZIP',
  'Phone #',
  'E-mail',
  'Yr Built',
  'Fdn',
  'System type',
  'Job #',
  'Installed',
  'Fan',
  'Fan S/N',
  'Fan replaced',
  'Start-up (in. w.c.)',
  'Pre test',
  'Pre-test date',
  'Post test',
  'Post test date',
  'Retest',
  'Re-test date',
  'Comments',
  'Gate',
  'Paid?',
] as const
export type MessyRow = string[]

const cellText = (cell: string): string => (/[",\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell)
export const csvOf = (rows: readonly (readonly string[])[]): string =>
  rows.map(row => row.map(cellText).join(',')).join('\r\n')

/** How many of each oddity were put in; what a reader of the table must come to. */
export type Messy = { readonly csv: string; readonly homes: number; readonly rows: readonly MessyRow[] }

export function messyHomes(homes = 900): Messy {
  const random = generator(900)
  const pick = <T>(of: readonly T[]): T => of[Math.floor(random() * of.length)]!
  const rows: MessyRow[] = []
  const width = HEADERS.length
  const row = (cells: Readonly<Record<number, string>>): MessyRow =>
    Array.from({ length: width }, (_, i) => cells[i] ?? '')
  for (let n = 0; n < homes; n++) rows.push(homeRow(n))

  // Said once more, spelt differently: one home each.
  for (let n = 0; n < 20; n++) {
    const again = [...rows[n * 7]!]
    again[1] = again[1]!.toUpperCase().replace(/ STREET$| ST$| ST\.$/, ' Street')
    again[22] = `second line of home ${n * 7}`
    rows.push(again)
  }
  // A slip in the street: a person must say.
  for (let n = 0; n < 6; n++) {
    const again = [...rows[n * 11 + 3]!]
    again[1] = again[1]!
      .replace('Foundry', 'Foundy')
      .replace('Juniper', 'Junipr')
      .replace('Kestrel', 'Kestrell')
      .replace('Meadow', 'Medow')
      .replace('Orchard', 'Orchrd')
      .replace('Larkspur', 'Larkspurr')
      .replace('Harbor', 'Harbour')
      .replace('Birch', 'Birchh')
      .replace('Cedar', 'Ceder')
      .replace('Quay', 'Quays')
    rows.push(again)
  }
  rows.splice(100, 0, row({}))
  rows.splice(200, 0, [...HEADERS])
  rows.splice(300, 0, row({ 0: '2014 jobs' }))
  rows.splice(400, 0, row({ 0: 'Two Houses', 1: '12 & 14 Elm Street', 2: 'Duluth', 3: 'MN', 4: '55802' }))
  rows.splice(401, 0, row({ 0: 'No Address', 2: 'Duluth', 3: 'MN', 5: '218-555-0177' }))
  rows.splice(402, 0, row({ 0: 'Wrong State', 1: '5 Border Road', 2: 'Duluth', 3: 'WI', 4: '55802' }))
  rows.push(row({ 0: 'TOTAL', 16: '900' }))
  const title = ['Lakeside Radon – all jobs, do not delete!!', ...Array<string>(width - 1).fill('')]
  const note = ['', '', 'updated by Pat', ...Array<string>(width - 3).fill('')]
  const csv = `${csvOf([title, note, HEADERS, ...rows])}\r\nMoved Over,7 Elm Street, Rear,Duluth,MN,55802${','.repeat(width - 6)},too many\r\n`
  return { csv: `\ufeff${csv}`, homes, rows }

  function homeRow(n: number): MessyRow {
    const town = TOWNS[n % TOWNS.length]!
    const number = 100 + Math.floor(n / 10) * 3
    const street = `${number} ${STREETS[n % 10]} ${pick(KINDS[(n + Math.floor(n / 10)) % 4]!)}`
    const [first, last] = [
      FIRST[n % 10]!,
      `${LAST[Math.floor(n / 10) % 10]}${Math.floor(n / 100) || ''}`.replace(/\d/, d => 'abcdefghi'[Number(d)]!),
    ]
    const phone = `218-555-${String(1000 + n).slice(-4)}`
    const pre = (4 + (n % 90) / 10).toFixed(1)
    const post = (0.3 + (n % 25) / 10).toFixed(1)
    const year = 2006 + (n % 18)
    const cells: Record<number, string> = {
      0: n % 3 === 0 ? `${last}, ${first}` : `${first} ${last}`,
      1: street,
      2: town.city,
      3: pick(town.region),
      4: town.zip,
      5: phone,
      6: n % 4 === 0 ? `${first}.${last}@home.example` : '',
      7: n % 5 === 0 ? pick(WORDS_FOR_UNKNOWN) : String(1900 + (n % 110)),
      8: ['Basement', 'bsmt + crawl', 'slab', ''][n % 4]!,
      9: ['SSD', 'sub-slab', 'drain tile', '', 'sump'][n % 5]!,
      10: `J-${1000 + n}`,
      11: `${1 + (n % 12)}/${1 + (n % 28)}/${year}`,
      12: n % 6 === 0 ? pick(WORDS_FOR_UNKNOWN) : ['Whisper 3', 'Gale 5'][n % 2]!,
      13: n % 4 === 1 ? '' : `F${10_000 + n}`,
      15: n % 7 === 0 ? '' : (0.6 + (n % 14) / 10).toFixed(1),
      16: pre,
      17: `${1 + (n % 12)}/${1 + (n % 28)}/${year - 1}`,
      18: post,
      19: n % 9 === 0 ? '' : `${1 + ((n + 1) % 12)}/${1 + (n % 28)}/${year + 1}`,
      22: n % 10 === 0 ? `dog, ring twice (${n})` : '',
      23: n % 25 === 0 ? '1234#' : '',
      24: n % 2 === 0 ? 'y' : '',
    }
    spoil(n, cells)
    return row(cells)
  }

  function spoil(n: number, cells: Record<number, string>): void {
    const set = (at: number, text: string) => {
      cells[at] = text
    }
    if (n % 13 === 1) set(11, String(38_000 + n)) // 7
    if (n % 13 === 2) set(11, ROUGH[n % ROUGH.length]!) // 8
    if (n % 97 === 5) set(11, 'see folder') // 9
    if (n === 444) set(19, '1/15/2031') // 10
    if (n % 50 === 7) for (const at of [2, 3, 4]) set(at, '"') // 11
    if (n % 17 === 4) set(5, `${cells[5]} (cell) / 218-555-2${String(n).padStart(3, '0')} work`) // 12
    if (n % 101 === 9) set(5, 'call her sister') // 13
    if (n % 103 === 9) set(6, 'none given at home') // 14
    if (n % 31 === 8) set(0, `${FIRST[n % 10]} & ${FIRST[(n + 1) % 10]} ${LAST[n % 10]}`) // 16
    if (cells[2] === 'Worcester' && n % 2 === 0) set(4, '1602') // 17
    if (n % 41 === 6) set(1, `${cells[1]} ${n % 2 ? 'Apt 2' : '#3'}`) // 22
    if (n % 19 === 3) set(18, `<${cells[18]}`) // 23
    if (n % 19 === 4) set(16, `${cells[16]} pCi/L*`)
    if (n % 59 === 11) set(18, 'ND') // 24
    if (n % 59 === 12) set(18, 'pending')
    if (n % 59 === 13) set(16, '8.1/7.4')
    if (n % 23 === 5) set(15, `${cells[15] || '1.1'}"`) // 25
    if (n % 71 === 14) set(15, 'fine')
    if (n % 29 === 10) set(13, pick(WORDS_FOR_UNKNOWN)) // 26
    if (n % 37 === 12) set(22, 'gate sticks\nring the bell') // 27
  }
}
