import { setImmediate as nextTurn } from 'node:timers/promises'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import { settleOldAddress } from '../../features/properties/settle-address.ts'
import type { Db } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { finishedInTurns } from '../monitor-file/steps.ts'
import type { RowFault } from '../table/row-fault.ts'
import type { Sheets } from '../table/sheets.ts'
import { type Double, doublesOnRecord, doublesWithin, mergedAsSaid } from './find-doubles.ts'
import { type FileHome, gatherHomesSteps, joined } from './gather-homes.ts'
import type { HomesReading } from './homes-reading.ts'
import { type HomePlan, isNothingNew, planHome } from './plan-home.ts'
import { type ReadHomes, readHomesSteps } from './read-homes.ts'
import { type Company, homesNear, readCompany, recordFacts } from './record-queries.ts'

type Settled = Extract<Awaited<ReturnType<typeof settleOldAddress>>, { ok: true }>['settled']
/** Addresses located before the transaction, by what was looked up. */
export type SettledAddresses = Map<string, Settled | readonly RowFault[]>

export type HomesCounts = {
  /** Homes that would be taken up. */
  readonly fresh: number
  /** Homes on record that something would be added to. */
  readonly added: number
  /** Homes on record that know all of it. */
  readonly same: number
  readonly people: number
  readonly systems: number
  readonly tests: number
  readonly notes: number
  /** Rows that are part of a home another row began. */
  readonly joinedRows: number
  readonly skippedRows: number
  readonly bad: number
  readonly remarks: number
  /** Likely doubles nobody has decided on. */
  readonly undecided: number
  /** Homes whose zone the address does not tell. */
  readonly zonesAssumed: number
}

/** What a commit of a table of homes would do. */
export type HomesDryRun = {
  readonly plans: readonly HomePlan[]
  readonly counts: HomesCounts
  readonly faults: readonly RowFault[]
  /** How many bad cells there are, where not all are at hand. */
  readonly faultCells: number
  readonly remarks: readonly RowFault[]
  readonly skipped: ReadHomes['skipped']
  readonly dittos: number
  readonly doubles: readonly Double[]
}

/** Everything read off a file, before the record is asked. */
export type PreparedHomes = { readonly read: ReadHomes; readonly company: Company; readonly settled: SettledAddresses }

/** Reads the whole table and locates its addresses; writes nothing. */
export async function prepareHomes(db: Db, act: Act, sheets: Sheets, reading: HomesReading): Promise<PreparedHomes> {
  const company = await readCompany(db)
  const today = localDayOf(act.now, company.zone)
  const read = await finishedInTurns(readHomesSteps(sheets, reading, { companyName: company.name, today }))
  return { read, company, settled: new Map() }
}

/** Holds a table that was read against the record. A commit repeats it in its transaction. */
export async function compareHomes(
  db: Db,
  act: Act,
  { read, company, settled }: PreparedHomes,
  reading: HomesReading,
): Promise<HomesDryRun> {
  const gathered = await finishedInTurns(gatherHomesSteps(read.homes))
  const within = doublesWithin(gathered, reading.doubles)
  const homes = mergedAsSaid(gathered, within)
  const near = await homesNear(db, act, homes)
  const certain = new Map<string, string>()
  const faults: RowFault[] = [...read.faults]
  for (const home of homes) {
    const match = matchOf(home, near.get(home.key) ?? [])
    if (typeof match === 'string') certain.set(home.key, match)
    else if (match) faults.push(...faultsOf(home, match))
  }
  const onRecord = doublesOnRecord(
    homes.filter(({ key }) => !certain.has(key)),
    home => near.get(home.key) ?? [],
    reading.doubles,
  )
  for (const { home, other, said } of onRecord)
    if (said === 'same' && other.kind === 'record' && !certain.has(home.key)) certain.set(home.key, other.home.id)
  const known = await recordFacts(db, [...new Set(certain.values())])
  const bad = new Set(faults.map(placeOf))
  const plans: HomePlan[] = []
  let seen = 0
  for (const home of oneForEachRecord(homes, certain)) {
    if (++seen % HOMES_A_TURN === 0) await nextTurn()
    if (home.rows.some(place => bad.has(placeOf(place)))) continue
    const id = certain.get(home.key)
    const located = id === undefined ? await locateHome(home, settled, reading, company) : []
    if (located.length > 0) faults.push(...located)
    else plans.push(planHome(home, id === undefined ? null : (known.get(id) ?? null)))
  }
  const doubles = [...within, ...onRecord]
  const open = doubles.filter(({ said }) => said === null)
  return {
    plans,
    counts: countsOf(plans, read, faults, open.length, settled),
    faults: faults.sort((a, b) => a.line - b.line),
    faultCells: faults.length,
    remarks: read.remarks,
    skipped: read.skipped,
    dittos: read.dittos,
    doubles,
  }
}

/** Homes held against the record before others have their turn; about 5 ms. */
const HOMES_A_TURN = 200

/** Two homes of a file that are one on record are one. */
function oneForEachRecord(homes: readonly FileHome[], certain: ReadonlyMap<string, string>): Iterable<FileHome> {
  const one = new Map<string, FileHome>()
  for (const home of homes) {
    const key = certain.get(home.key) ?? home.key
    const before = one.get(key)
    one.set(key, before ? joined(before, home) : home)
  }
  return one.values()
}

/** The record's home that a file's certainly is, or why it is none. */
function matchOf(home: FileHome, near: readonly { readonly id: string; readonly key: string }[]) {
  if (home.id !== null)
    return (
      near.find(({ id }) => id === home.id)?.id ?? {
        problem: 'is the id of no home on record',
        remedy: 'Correct it, or leave it empty.',
      }
    )
  const [first, second] = near.filter(({ key }) => key === home.key)
  return second
    ? { problem: 'fits two homes on record', remedy: 'Give the home’s id, or merge the two first.' }
    : first?.id
}

const placeOf = ({ sheet = '', line }: { readonly sheet?: string; readonly line: number }): string => `${sheet}:${line}`
const faultsOf = (home: FileHome, what: Pick<RowFault, 'problem' | 'remedy'>, column = 'home'): RowFault[] =>
  home.rows.map(place => ({ ...place, column, value: home.id ?? addressWords(home), ...what }))
const addressWords = ({ address: { street, city } }: FileHome): string => [street, city].filter(part => part).join(', ')

/** The faults of a new home's address; none once it is located, which is kept for the commit. */
async function locateHome(
  home: FileHome,
  settled: SettledAddresses,
  { constants }: HomesReading,
  company: Company,
): Promise<readonly RowFault[]> {
  const known = settled.get(home.key)
  if (known) return Array.isArray(known) ? known : []
  const { address, yearBuilt } = home
  const input = { ...address, yearBuilt, foundationAreas: [], testLocations: [] }
  const found = await settleOldAddress(input, constants.zone ?? company.zone)
  const outcome = found.ok
    ? found.settled
    : found.faults.flatMap(({ pointer, detail }) =>
        faultsOf(home, { problem: `does not fit: ${detail}`, remedy: 'Correct it in the table.' }, pointer.slice(1)),
      )
  settled.set(home.key, outcome)
  return found.ok ? [] : (outcome as readonly RowFault[])
}

function countsOf(
  plans: readonly HomePlan[],
  read: ReadHomes,
  faults: readonly RowFault[],
  undecided: number,
  settled: SettledAddresses,
): HomesCounts {
  const sum = (count: (plan: HomePlan) => number) => plans.reduce((total, plan) => total + count(plan), 0)
  const assumed = ({ home, on }: HomePlan) => {
    const columns = on ? null : settled.get(home.key)
    return columns && 'zoneSource' in columns && columns.zoneSource === 'assumed' ? 1 : 0
  }
  return {
    fresh: sum(({ on }) => (on ? 0 : 1)),
    added: sum(plan => (plan.on && !isNothingNew(plan) ? 1 : 0)),
    same: sum(plan => (isNothingNew(plan) ? 1 : 0)),
    people: sum(({ owner, others }) => (owner ? 1 : 0) + others.length),
    systems: sum(({ systems }) => systems.filter(({ to }) => to === null).length),
    tests: sum(({ tests }) => tests.length),
    notes: sum(({ note }) => (note.length > 0 ? 1 : 0)),
    joinedRows: sum(({ home }) => home.rows.length - 1),
    skippedRows: read.skipped.length,
    bad: new Set(faults.map(placeOf)).size,
    remarks: read.remarks.length,
    undecided,
    zonesAssumed: sum(assumed),
  }
}
