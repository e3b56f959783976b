import { type AddressKey, addressKey, addressText } from '../../domain/address/address-key.ts'
import type { Edtf } from '../../domain/facts.ts'
import type { AddressCells, HomeCells, PersonCells, Place, SystemCells, TestCells } from './home-facts.ts'

/** A home as a file tells it, out of one row or several. */
export type FileHome = {
  /** The same for every row of the home. */
  readonly key: string
  readonly address: AddressCells
  readonly compared: AddressKey
  readonly id: string | null
  readonly rows: readonly Place[]
  readonly yearBuilt: number | null
  readonly foundation: string | null
  readonly owner: PersonCells | null
  readonly ownerSince: Edtf | null
  readonly secondOwner: PersonCells | null
  readonly tenants: readonly PersonCells[]
  readonly managers: readonly PersonCells[]
  readonly systems: readonly SystemCells[]
  readonly tests: readonly TestCells[]
  readonly notes: readonly string[]
}

const keyOf = ({ id, address }: HomeCells, compared: AddressKey): string =>
  id === null ? addressText({ ...compared, region: `${compared.region} ${address.country}` }) : `id ${id.toLowerCase()}`

/** The same for all rows of one home. */
export const keyOfRow = (row: HomeCells): string => keyOf(row, addressKey(row.address))

/** A home as one row tells it. */
export function homeOfRow(row: HomeCells): FileHome {
  const compared = addressKey(row.address)
  return {
    ...{ key: keyOf(row, compared), compared, address: row.address, id: row.id, rows: [row.place] },
    ...{ yearBuilt: row.yearBuilt, foundation: row.foundation },
    ...{ owner: row.owner, ownerSince: row.ownerSince, secondOwner: row.secondOwner },
    tenants: row.tenant ? [row.tenant] : [],
    managers: row.manager ? [row.manager] : [],
    systems: row.system ? [row.system] : [],
    tests: row.tests,
    notes: row.notes,
  }
}

/** Two tellings of one home as one: what the first leaves open the second fills, and nothing of either is lost. */
export function joined(a: FileHome, b: FileHome): FileHome {
  const otherOwner = a.owner && b.owner && !isSamePerson(a.owner, b.owner) ? b.owner : null
  const otherBuilt = a.yearBuilt && b.yearBuilt && a.yearBuilt !== b.yearBuilt ? `Year built also: ${b.yearBuilt}` : ''
  return {
    ...a,
    id: a.id ?? b.id,
    address: fuller(a.address, b.address),
    rows: [...a.rows, ...b.rows],
    yearBuilt: a.yearBuilt ?? b.yearBuilt,
    foundation: a.foundation ?? b.foundation,
    owner: otherOwner ? a.owner : samePerson(a.owner, b.owner),
    ownerSince: a.ownerSince ?? b.ownerSince,
    secondOwner: a.secondOwner ?? b.secondOwner,
    tenants: people(a.tenants, b.tenants),
    managers: people(a.managers, b.managers),
    systems: b.systems.reduce(withSystem, a.systems),
    tests: [...a.tests, ...b.tests.filter(test => !a.tests.some(one => isSameTest(one, test)))],
    notes: [
      ...new Set([
        ...a.notes,
        ...b.notes,
        ...(otherOwner ? [`Owner also named: ${personText(otherOwner)}`] : []),
        ...(otherBuilt ? [otherBuilt] : []),
      ]),
    ],
  }
}

const fuller = (a: AddressCells, b: AddressCells): AddressCells => ({
  ...a,
  unit: a.unit || b.unit,
  city: a.city || b.city,
  region: a.region || b.region,
  postcode: a.postcode || b.postcode,
})

export const personText = ({ name, phone, email, note }: PersonCells): string =>
  [name, phone, email, note].filter(part => part).join(', ')

const plainName = (name: string): string =>
  name
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}]+/gu, ' ')
    .trim()
export const isSamePerson = (a: Pick<PersonCells, 'name'>, b: Pick<PersonCells, 'name'>): boolean =>
  plainName(a.name) === plainName(b.name)

function samePerson(a: PersonCells | null, b: PersonCells | null): PersonCells | null {
  if (!a || !b) return a ?? b
  const notes = [...new Set([a.note, b.note, otherOf(a.phone, b.phone), otherOf(a.email, b.email)])]
  return {
    ...a,
    phone: a.phone ?? b.phone,
    email: a.email ?? b.email,
    note: notes.filter(text => text !== '').join('; '),
  }
}
const otherOf = (a: string | null, b: string | null): string => (a && b && a !== b ? `Also: ${b}` : '')

const people = (a: readonly PersonCells[], b: readonly PersonCells[]) => [
  ...a,
  ...b.filter(person => !a.some(one => isSamePerson(one, person))),
]

export const isSameTest = (a: TestCells, b: TestCells): boolean =>
  a.purpose === b.purpose &&
  a.value === b.value &&
  a.unit === b.unit &&
  a.qualifier === b.qualifier &&
  a.day === b.day &&
  a.dateAsWritten === b.dateAsWritten

/** Systems with two tags are two; without a second tag the rows speak of one. */
function withSystem(systems: readonly SystemCells[], system: SystemCells): readonly SystemCells[] {
  const at = systems.findIndex(({ tag }) => tag === null || system.tag === null || tag === system.tag)
  return at < 0 ? [...systems, system] : systems.map((one, i) => (i === at ? oneSystem(one, system) : one))
}

const oneSystem = (a: SystemCells, b: SystemCells): SystemCells => ({
  ...a,
  tag: a.tag ?? b.tag,
  type: a.type ?? b.type,
  installed: a.installed ?? b.installed,
  installedBy: a.installedBy === 'unknown' ? b.installedBy : a.installedBy,
  installerName: a.installerName || b.installerName,
  label: a.label || b.label,
  fans: [...a.fans, ...b.fans.filter(fan => !a.fans.some(one => isSameFan(one, fan)))],
  gauges: [...a.gauges, ...b.gauges.filter(g => !a.gauges.some(one => one.value === g.value && one.unit === g.unit))],
  alarm: a.alarm ?? b.alarm,
})
type Fan = { readonly model: string; readonly serial: string }
export const isSameFan = (a: Fan, b: Fan): boolean =>
  a.serial !== '' || b.serial !== '' ? a.serial === b.serial : a.model.toLowerCase() === b.model.toLowerCase()
