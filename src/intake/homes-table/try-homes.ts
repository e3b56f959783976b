import { setImmediate as nextTurn } from 'node:timers/promises'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Db } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { finishedInTurns } from '../monitor-file/steps.ts'
import type { RowFault } from '../table/row-fault.ts'
import type { Sheets } from '../table/sheets.ts'
import { placeOf } from './faults-of-home.ts'
import { countPlan, noPlans } from './home-counts.ts'
import { HomesOfTable } from './homes-of-table.ts'
import type { HomesReading } from './homes-reading.ts'
import type { HomesLook } from './kept-look.ts'
import { LocatedHomes } from './located-homes.ts'
import { type MatchedHome, matchHomes } from './match-homes.ts'
import { type HomePlan, planHome } from './plan-home.ts'
import { type RowsRead, readHomesSteps } from './read-homes.ts'
import { type Company, readCompany, recordFacts } from './record-queries.ts'

/** Everything read off a file, before the record is asked. */
export type PreparedHomes = {
  readonly read: RowsRead
  readonly homes: HomesOfTable
  readonly company: Company
  readonly settled: LocatedHomes
}

/** Reads the whole table and locates its addresses; writes nothing. */
export async function prepareHomes(db: Db, act: Act, sheets: Sheets, reading: HomesReading): Promise<PreparedHomes> {
  const company = await readCompany(db)
  const today = localDayOf(act.now, company.zone)
  const homes = new HomesOfTable()
  const readers = { companyName: company.name, today }
  const read = await finishedInTurns(readHomesSteps(sheets, reading, readers, home => homes.take(home)))
  return { read, homes, company, settled: new LocatedHomes() }
}

/** What a commit would write of some homes, which are looked at whole. */
export async function plansOf(
  db: Db,
  { homes }: PreparedHomes,
  some: readonly MatchedHome[],
): Promise<readonly HomePlan[]> {
  const known = await recordFacts(
    db,
    some.flatMap(({ id }) => id ?? []),
  )
  return some.map(({ told, id }) => planHome(homes.whole(told), id === null ? null : (known.get(id) ?? null)))
}

/** Homes looked at whole before others have their turn; about 5 ms. */
const HOMES_A_TURN = 200

/**
 * Holds a table that was read against the record, and shows each home that is in order with what a commit would write of
 * it. A commit repeats it in its transaction.
 */
export async function compareHomes(
  db: Db,
  act: Act,
  prepared: PreparedHomes,
  reading: HomesReading,
  see: (home: MatchedHome, plan: HomePlan) => Promise<void> = async () => {},
): Promise<HomesLook> {
  const { read, company, settled } = prepared
  const { homes, doubles, faults: unmatched } = await matchHomes(db, act, prepared.homes, reading.doubles)
  const faults: RowFault[] = [...read.faults, ...unmatched]
  const bad = new Set(faults.map(placeOf))
  const counts = noPlans()
  for (let from = 0; from < homes.length; from += HOMES_A_TURN) {
    const some = homes.slice(from, from + HOMES_A_TURN)
    for (const [i, plan] of (await plansOf(db, prepared, some)).entries()) {
      const { home } = plan
      if (home.rows.some(place => bad.has(placeOf(place)))) continue
      const fresh = some[i]!.id === null
      const located = fresh ? await settled.locate(home, reading.constants.zone ?? company.zone) : []
      faults.push(...located)
      if (located.length > 0) continue
      countPlan(counts, plan, fresh && settled.columnsOf(home)?.zoneSource === 'assumed')
      await see(some[i]!, plan)
    }
    await nextTurn()
  }
  return {
    counts: {
      ...counts,
      skippedRows: read.passedOver,
      bad: new Set(faults.map(placeOf)).size,
      remarks: read.remarked,
      undecided: doubles.undecided,
    },
    faults: faults.sort((a, b) => a.line - b.line),
    faultCells: faults.length,
    remarks: read.remarks,
    skipped: read.skipped,
    dittos: read.dittos,
    doubles: doubles.first(),
  }
}
