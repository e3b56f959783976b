import { instantsOfWall } from '../domain/calendar/wall-time.ts'
import type { Db } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import { type FoundHome, findHomes, keyOfHome, keyOfResult, knownResults } from './home-queries.ts'
import { finishedInTurns } from './monitor-file/steps.ts'
import type { ResultRow, WallMoment } from './results-table/read-result-row.ts'
import { type ReadTable, readTableSteps } from './results-table/read-table.ts'
import type { TableReading } from './results-table/table-reading.ts'
import { answeredAlready, noonOf, type PlacedRow, placedByKit } from './rows-by-kit.ts'
import type { RowFault } from './table/row-fault.ts'

/** Rows of one home, and the home on record; null where it would be taken up. */
export type HomeRows = {
  readonly home: FoundHome | null
  readonly wanted: ResultRow['home']
  readonly rows: readonly PlacedRow[]
}

/** What a commit of the table would do. */
export type TableDryRun = {
  readonly homes: readonly HomeRows[]
  readonly fresh: number
  readonly same: number
  readonly bad: number
  readonly homesToTakeUp: number
  /** Of what is new, answers to kits that wait for one. */
  readonly kitsAnswered: number
  readonly faults: readonly RowFault[]
}

/** The instant of a moment on a home's wall clock; of a repeated hour the first, and what spring skips ends with the gap. */
export const instantOfMoment = (moment: WallMoment | null, zone: string): number | null => {
  if (moment === null) return null
  if (moment.offsetMinutes !== null) return moment.wallMs - moment.offsetMinutes * 60_000
  return instantsOfWall(moment.wallMs, zone).first
}

/** When a row was measured, on the clock of its home; where it does not say, as is known of its kit. */
export function periodOf({ start, stop, kit }: PlacedRow, zone: string, now: number) {
  const startAt = instantOfMoment(start, zone) ?? noonOf(kit?.exposedFrom ?? null, zone, now)
  const stopAt = instantOfMoment(stop, zone) ?? noonOf(kit?.exposedTo ?? null, zone, now)
  // Opened and closed on one day: at which hour the end was is not known.
  return { startAt, stopAt: stop === null && startAt === stopAt ? null : stopAt }
}

/** Reads the whole table, finds its homes and what is there already; writes nothing. */
export async function tryTable(db: Db, act: Act, bytes: Buffer, reading: TableReading): Promise<TableDryRun> {
  return compareTable(db, act, await finishedInTurns(readTableSteps(bytes, reading)), reading)
}

/** The dry run of a table already read. A commit repeats it in its transaction, so that two at once make nothing twice. */
export async function compareTable(db: Db, act: Act, read: ReadTable, reading: TableReading): Promise<TableDryRun> {
  const placed = await placedByKit(db, act, read.rows)
  const groups = groupedByHome(placed.rows)
  const wanted = groups.map(rows => rows[0]!.home)
  const found = await findHomes(db, act, wanted)
  const faults: RowFault[] = [...read.faults, ...placed.faults]
  const homes: HomeRows[] = []
  for (const [n, rows] of groups.entries()) {
    const fault = homeFault(found[n]!, wanted[n]!, reading)
    if (fault) faults.push(...rows.map(row => ({ line: row.line, ...fault })))
    else homes.push({ home: found[n]![0] ?? null, wanted: wanted[n]!, rows })
  }
  const { fresh, same } = await compared(db, act, homes, faults)
  return {
    homes: fresh,
    fresh: fresh.reduce((sum, { rows }) => sum + rows.length, 0),
    same,
    bad: new Set(faults.map(({ line }) => line)).size,
    homesToTakeUp: fresh.filter(({ home }) => home === null).length,
    kitsAnswered: fresh.reduce((sum, { rows }) => sum + rows.filter(row => row.kit !== null).length, 0),
    faults: faults.sort((a, b) => a.line - b.line),
  }
}

function groupedByHome(rows: readonly PlacedRow[]): readonly (readonly PlacedRow[])[] {
  const groups = new Map<string, PlacedRow[]>()
  for (const row of rows) {
    const key = keyOfHome(row.home)
    const group = groups.get(key)
    if (group) group.push(row)
    else groups.set(key, [row])
  }
  return [...groups.values()]
}

function homeFault(
  found: readonly FoundHome[],
  wanted: ResultRow['home'],
  reading: TableReading,
): Omit<RowFault, 'line'> | null {
  const value = wanted.id ?? [wanted.street, wanted.city].filter(part => part !== '').join(', ')
  if (found.length > 1)
    return {
      column: 'home',
      value,
      problem: `fits ${found.length} homes on record`,
      remedy: 'Give the postcode, the unit, or the home’s id.',
    }
  if (found.length === 1) return null
  if (wanted.id !== null || reading.unknownHomes === 'refuse')
    return {
      column: 'home',
      value,
      problem: 'is no home on record',
      remedy: 'Correct the address, or let unknown homes be taken up.',
    }
  if (wanted.city === '')
    return { column: 'city', value, problem: 'cannot be taken up without a town', remedy: 'Give the town.' }
  return null
}

/** Parts what is new from what a home has already, and tells times that lie ahead. */
async function compared(db: Db, act: Act, homes: readonly HomeRows[], faults: RowFault[]) {
  const known = await knownResults(
    db,
    homes.flatMap(({ home }) => home?.id ?? []),
  )
  const seen = new Set<string>()
  let same = 0
  const fresh = homes.map(group => ({
    ...group,
    rows: group.rows.filter(row => {
      const zone = group.home?.zone ?? 'UTC'
      const { startAt, stopAt } = periodOf(row, zone, act.now)
      if (Math.max(startAt ?? 0, stopAt ?? 0) > act.now + 86_400_000) {
        const value = new Date(Math.max(startAt ?? 0, stopAt ?? 0)).toISOString().slice(0, 10)
        faults.push({
          line: row.line,
          column: 'stop',
          value,
          problem: 'lies in the future',
          remedy: 'Correct the date, or its order.',
        })
        return false
      }
      const propertyId = group.home?.id ?? keyOfHome(group.wanted)
      const key = keyOfResult({
        propertyId,
        method: row.method,
        startAt,
        stopAt,
        value: row.value,
        unit: row.unit,
        qualifier: row.qualifier,
      })
      const isNew = !known.has(key) && !seen.has(`${key} ${row.location} ${row.kitNumber}`)
      seen.add(`${key} ${row.location} ${row.kitNumber}`)
      if (!isNew) same++
      if (!isNew || !row.kit?.answered) return isNew
      faults.push(answeredAlready(row))
      return false
    }),
  }))
  return { fresh: fresh.filter(({ rows }) => rows.length > 0), same }
}
