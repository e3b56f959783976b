import { instantOn } from '../domain/calendar/local-day.ts'
import { matchKit } from '../domain/devices/match-kit.ts'
import type { LocalDay } from '../domain/facts.ts'
import { kitsByNumber, type NumberedKit } from '../features/devices/kit-match-queries.ts'
import type { Db } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import type { ReadRow, ResultRow } from './results-table/read-result-row.ts'
import type { RowFault } from './table/row-fault.ts'

/** A row whose home is told: by its address, or by the kit that was left there. */
export type PlacedRow = ResultRow & { readonly kit: NumberedKit | null }

const namesHome = ({ home }: ReadRow): boolean => home.id !== null || home.street !== ''

/** Finds the kit, and with it the home, of rows that name a number and no home; tells numbers that fit no single one. */
export async function placedByKit(
  db: Db,
  act: Act,
  rows: readonly ReadRow[],
): Promise<{ readonly rows: readonly PlacedRow[]; readonly faults: readonly RowFault[] }> {
  const numbers = new Set(rows.flatMap(row => (namesHome(row) ? [] : (row.kitNumber ?? []))))
  const kits = numbers.size > 0 ? await kitsByNumber(db, act, [...numbers]) : []
  const placed: PlacedRow[] = []
  const faults: RowFault[] = []
  const lines = new Map<string, number>()
  for (const row of rows) {
    const { method, purpose, kitNumber } = row
    if (namesHome(row)) {
      if (method !== null && purpose !== null) placed.push({ ...row, method, purpose, kit: null })
      continue
    }
    const found = kitOf(kitNumber ?? '', kits, lines)
    if ('kit' in found) {
      const { kit } = found
      lines.set(keyOf(kit), lines.get(keyOf(kit)) ?? row.line)
      const home = { id: kit.propertyId, street: '', unit: '', city: '', region: '', postcode: '' }
      placed.push({ ...row, home, kit, method: kit.method, purpose: kit.purpose, kitNumber: kit.number })
    } else faults.push({ line: row.line, column: 'kit number', value: kitNumber ?? '', ...found })
  }
  return { rows: placed, faults }
}

const keyOf = ({ deviceId, number }: NumberedKit): string => `${deviceId} ${number.toLowerCase()}`
const whereOf = (kits: readonly NumberedKit[]): string =>
  kits.map(({ lotName, address }) => `${lotName} at ${address}`).join('; ')

function kitOf(
  number: string,
  kits: readonly NumberedKit[],
  lines: ReadonlyMap<string, number>,
): { readonly kit: NumberedKit } | Pick<RowFault, 'problem' | 'remedy'> {
  const match = matchKit(number, kits)
  if (match.fits === 'none')
    return {
      problem: 'is the number of no kit that has left the shop',
      remedy: 'Read the number again, or give the address of the home.',
    }
  if (match.fits === 'several')
    return {
      problem: `is the number of several kits that wait: ${whereOf(match.kits)}`,
      remedy: 'Give the address of the home as well.',
    }
  // Of one that has its answer the row may say the same: whether it does is seen once its result is compared.
  const kit = match.fits === 'one' ? match.kit : match.kits[0]!
  if (match.fits === 'answered' && match.kits.length > 1)
    return {
      problem: `is the number of several kits that have their answers: ${whereOf(match.kits)}`,
      remedy: 'Leave the row out, or give the address of the home as well.',
    }
  if (match.fits === 'one' && kit.exposureId !== null)
    return {
      problem: `waits as a test that was set at ${kit.address}`,
      remedy: 'Leave the row out, and enter it by its number under “Enter a laboratory’s answer”.',
    }
  const earlier = lines.get(keyOf(kit))
  return earlier === undefined
    ? { kit }
    : { problem: `stands on line ${earlier} already`, remedy: 'Keep one of the two rows.' }
}

/** What is said of a row whose kit has another answer already. */
export const answeredAlready = ({ line, kit }: PlacedRow): RowFault => ({
  ...{ line, column: 'kit number', value: kit?.number ?? '' },
  problem: 'has another answer already, or came back unused',
  remedy: 'Leave the row out, or correct the test that holds the answer first.',
})

/** Noon of a day on the home's clock, and never later than now: people say days, a test has moments. */
export const noonOf = (day: LocalDay | null, zone: string, now: number): number | null =>
  day === null ? null : Math.min(instantOn(day, '12:00', zone), now)
