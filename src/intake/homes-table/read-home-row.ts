import { partUnit } from '../../domain/address/address-key.ts'
import type { Edtf, LocalDay } from '../../domain/facts.ts'
import type { RowFault } from '../table/row-fault.ts'
import type { AddressCells, HomeCells, PersonCells, Place, RowRead } from './home-facts.ts'
import {
  type HomeRole,
  type HomesReading,
  has,
  type Readers,
  type Settled,
  type SheetReading,
  TELLS_HOME,
} from './homes-reading.ts'
import { namesTwoHomes, postcodeOf, regionOf, wholeAddress } from './read-address.ts'
import { readOwners } from './read-owners.ts'
import { type Numbers, personOf, readMails, readName, readPhones } from './read-person.ts'
import { readSystem } from './read-system.ts'
import { readTests } from './read-tests.ts'
import { readDateCell } from './rough-date.ts'
import { type ColumnsByRole, RowCells } from './row-cells.ts'
import { saysNothing } from './says-nothing.ts'
import { sheetErrorIn } from './sheet-errors.ts'
import { foundationsNamed } from './trade-words.ts'

/** Reads one row: a home, a row that is none (a total, a heading), or what is wrong with it. */
export function readHomeRow(
  place: Place,
  cells: readonly string[],
  sheet: SheetReading,
  columns: ColumnsByRole,
  reading: Settled,
  readers: Readers,
): RowRead {
  const skipped = noHomeIn(cells, sheet)
  if (skipped) return { kind: 'skipped', why: skipped }
  const row = new RowCells(place, cells, columns)
  const faults = [...raggedIn(row, cells, sheet), ...homeFaults(row)]
  const address = addressIn(row, reading)
  if (address.city === '' && faults.length === 0)
    faults.push(row.fault('city', 'names no town', 'Give the town, or tell the town of all rows.'))
  faults.push(...tooLong(row, address))
  if (faults.length > 0) return { kind: 'bad', faults }
  const home: HomeCells = {
    place,
    id: row.text('home-id') || null,
    address,
    yearBuilt: yearIn(row, readers.today),
    foundation: foundationIn(row),
    ...ownersIn(row, reading),
    ownerSince: dateIn(row, 'owner-since', reading, readers),
    tenant: otherIn(row, 'tenant', 'tenant-phone', reading),
    manager: otherIn(row, 'manager', 'manager-phone', reading),
    system: readSystem(row, reading, readers, role => dateIn(row, role, reading, readers)),
    tests: readTests(row, reading, readers),
    notes: [...row.all('note').map(({ name, text }) => `${name}: ${text}`), ...row.kept],
  }
  return { kind: 'home', home, remarks: row.remarks }
}

const TOTAL = /^(?:grand |sub-?)?(?:totals?|sum|count|average|avg|mean)\b[:\s]*(?:homes|jobs|systems)?$/i

/** A total, a heading between rows, or the headers once more. */
function noHomeIn(cells: readonly string[], { columns }: SheetReading) {
  const filled = cells.map(cell => cell.trim()).filter(cell => cell !== '')
  if (filled.some(cell => TOTAL.test(cell)) && filled.length <= Math.max(4, columns.length / 2)) return 'total' as const
  const again = columns.filter(({ index, name }) => name !== '' && (cells[index] ?? '').trim() === name).length
  if (again >= 2 && again >= filled.length / 2) return 'header-again' as const
  const addressed = columns.some(({ index, role }) => TELLS_HOME.has(role) && (cells[index] ?? '').trim() !== '')
  return filled.length === 1 && columns.length > 2 && !addressed ? ('heading' as const) : null
}

// A comma inside a cell without quotes moves all that follows one column on.
function raggedIn(row: RowCells, cells: readonly string[], { columns }: SheetReading): RowFault[] {
  const width = Math.max(...columns.map(({ index }) => index)) + 1
  const beyond = cells.slice(width).filter(cell => cell.trim() !== '')
  if (beyond.length === 0) return []
  const fault = row.fault(
    'ignored',
    `has ${cells.length} cells where the header has ${width}`,
    'Put a cell that holds a comma in quotes.',
  )
  return [{ ...fault, column: 'the whole row', value: beyond.join(' ').slice(0, 200) }]
}

function homeFaults(row: RowCells): RowFault[] {
  const role: HomeRole = row.text('address') ? 'address' : 'street'
  const cell = row.all(role)[0]?.text ?? ''
  if (cell === '' && row.text('home-id') === '') return [row.fault(role, 'names no home', 'Give its address.')]
  const error = sheetErrorIn(cell)
  if (error) return [row.fault(role, error.problem, `${error.remedy}, or give the address here.`)]
  return namesTwoHomes(cell) ? [row.fault(role, 'names two homes', 'Give each home a row of its own.')] : []
}

const LONGEST = { street: 200, unit: 40, city: 100, region: 60, postcode: 20, country: 2 } as const
const tooLong = (row: RowCells, address: AddressCells): RowFault[] =>
  (Object.keys(LONGEST) as (keyof typeof LONGEST)[])
    .filter(part => address[part].length > LONGEST[part])
    .map(part => ({
      ...row.fault('street', `is longer than ${LONGEST[part]} characters`, 'Shorten it.'),
      value: address[part].slice(0, 200),
    }))

const COUNTRIES: Readonly<Record<string, string>> = {
  usa: 'US',
  us: 'US',
  'united states': 'US',
  canada: 'CA',
  can: 'CA',
}

function addressIn(row: RowCells, { constants }: HomesReading): AddressCells {
  const written = row.text('country').replaceAll('.', '').toLowerCase()
  const country = COUNTRIES[written] ?? (/^[a-z]{2}$/.test(written) ? written.toUpperCase() : constants.country)
  const defaults = { city: constants.city ?? '', region: regionOf(constants.region ?? ''), country }
  const inOneCell = row.all('address')[0]?.text
  const whole = inOneCell ? wholeAddress(inOneCell, defaults) : { street: '', unit: '', postcode: '', ...defaults }
  const street = row.text('street') ? partUnit(row.text('street')) : whole
  return {
    street: street.street,
    unit: row.text('unit-of-home') || street.unit,
    city: row.text('city') || whole.city,
    region: row.text('region') ? regionOf(row.text('region')) : whole.region,
    postcode: row.text('postcode') ? postcodeOf(row.text('postcode'), country) : whole.postcode,
    country,
  }
}

function yearIn(row: RowCells, today: LocalDay): number | null {
  const cell = row.text('year-built').replace(/\.0$/, '')
  if (saysNothing(cell)) return null
  const year = /^\d{4}$/.test(cell) ? Number(cell) : 0
  if (year >= 1000 && year <= Number(today.slice(0, 4)) + 1) return year
  row.remark('year-built', 'is no year')
  return null
}

function foundationIn(row: RowCells): string | null {
  const cell = row.text('foundation')
  if (saysNothing(cell)) return null
  if (foundationsNamed(cell).length > 0) return cell
  row.remark('foundation', 'names no foundation')
  return null
}

function dateIn(row: RowCells, role: HomeRole, reading: Settled, readers: Readers): Edtf | null {
  const date = readDateCell(row.text(role), reading.dateOrder, readers)
  if (date.kind === 'unreadable') row.remark(role, 'is no date that is understood')
  if (!('edtf' in date)) return null
  if (date.kind === 'day' && date.edtf > readers.today) {
    row.remark(role, 'lies in the future')
    return null
  }
  return date.edtf
}

/** Where no column names an owner that is told once, not row by row. */
const namesOwners = (reading: HomesReading): boolean => has(reading, 'owner', 'owner-first-name', 'owner-last-name')

/**
 * All cells of phones and mails are the first owner's; without an owner they are kept in words. A second one stands in a
 * column of their own, or with the first.
 */
function ownersIn(row: RowCells, reading: HomesReading): Pick<HomeCells, 'owner' | 'secondOwner'> {
  const { country } = reading.constants
  const phones = gathered(row, 'phone', cell => readPhones(cell, country), 'is no phone number')
  const mails = gathered(row, 'email', readMails, 'is no mail address')
  const split = [row.text('owner-first-name'), row.text('owner-last-name')].filter(part => part !== '').join(' ')
  const beside = otherIn(row, 'second-owner', null, reading)
  const { first, second, unclear } = readOwners(row.text('owner') || split)
  if (first) {
    if (unclear || (second && beside)) row.remark('owner', 'may name several people')
    const owner = second && beside ? readName(row.text('owner')) : first
    return {
      owner: personOf(owner ?? first, phones, mails),
      secondOwner: beside ?? (second && personOf(second, [], [])),
    }
  }
  for (const role of ['phone', 'email'] as const)
    if ((role === 'phone' ? phones : mails).length > 0) {
      if (namesOwners(reading)) row.remark(role, 'belongs to nobody who is named')
      else row.keep(role)
    }
  return { owner: null, secondOwner: beside }
}

function gathered(row: RowCells, role: HomeRole, read: (cell: string) => Numbers, problem: string): readonly string[] {
  const found: string[] = []
  for (const { text } of row.all(role)) {
    const numbers = read(text)
    found.push(...numbers.found)
    if (numbers.left !== '') row.remark(role, problem, numbers.found.length > 0 ? numbers.left : text)
  }
  return [...new Set(found)]
}

function otherIn(row: RowCells, role: HomeRole, phone: HomeRole | null, reading: HomesReading): PersonCells | null {
  const cell = row.text(role)
  // A number written behind the name is theirs.
  const behind = /^(.*?\p{L})[\s,:-]*(\(?\+?\d[\d().\s-]{8,})$/u.exec(cell)
  const name = readName(behind?.[1] ?? cell)
  const numbers = readPhones([behind?.[2] ?? '', phone ? row.text(phone) : ''].join(';'), reading.constants.country)
  if (numbers.left !== '') row.remark(phone ?? role, 'is no phone number', numbers.left)
  if (name) return personOf(name, numbers.found, [])
  if (numbers.found.length > 0) row.remark(phone ?? role, 'belongs to nobody who is named')
  return null
}
