import { takeBackCustomers } from '../../features/customers/correct-customer.ts'
import { voidNotes } from '../../features/documents/keep-note.ts'
import { takeBackOwners } from '../../features/properties/change-owner.ts'
import { takeBackPersons } from '../../features/properties/change-people.ts'
import { voidHomes } from '../../features/properties/correct-property.ts'
import { putAreas, putYearsBuilt } from '../../features/properties/put-homes.ts'
import { takeBackParts, takeBackSystems } from '../../features/systems/change-system.ts'
import { voidTests } from '../../features/tests/correct-test.ts'
import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { holdHomes, restandHomes } from '../../standing/restand.ts'
import type { LeftHome } from '../import-rows.ts'
import {
  aroundNoHome,
  customersMadeBy,
  homesMadeBy,
  homeVersions,
  type Made,
  type MadeNoun,
  madeAt,
  releaseHomesOf,
  touchedHomes,
} from './made-queries.ts'

// So many homes are taken back by one round of statements, each of which must end within its time.
const homesAtOnce = 200

/** Takes back what an import of homes made, home by home; a home somebody has worked with since stays whole and is told. */
export async function undoHomes(tx: Tx, act: Act, importId: string, reason: string): Promise<readonly LeftHome[]> {
  const left: LeftHome[] = []
  for (const homes of rounds(await homesMadeBy(tx, importId))) {
    await holdHomes(tx, homes)
    const touched = await touchedHomes(tx, importId, homes)
    const gone = without(homes, touched)
    await takeBack(tx, act, await madeAt(tx, importId, gone), reason)
    await restandHomes(tx, act, gone)
    await releaseHomesOf(tx, importId, gone)
    left.push(...touched)
  }
  for (const customers of rounds(await customersMadeBy(tx, importId)))
    await takeBackCustomers(tx, act, await aroundNoHome(tx, customers), reason)
  return left.sort((a, b) => (a.address < b.address ? -1 : 1))
}

function* rounds(ids: readonly string[]): Generator<readonly string[]> {
  for (let from = 0; from < ids.length; from += homesAtOnce) yield ids.slice(from, from + homesAtOnce)
}

function without(homes: readonly string[], touched: readonly LeftHome[]): readonly string[] {
  const kept = new Set(touched.map(({ propertyId }) => propertyId))
  return homes.filter(id => !kept.has(id))
}

async function takeBack(tx: Tx, act: Act, made: readonly Made[], reason: string): Promise<void> {
  const of = (noun: MadeNoun) => made.flatMap(one => (one.noun === noun ? [one.id] : []))
  await voidTests(tx, act, of('test'), reason)
  await takeBackParts(tx, act, of('part'), reason)
  await takeBackSystems(tx, act, of('system'), reason)
  await voidNotes(tx, act, of('note'), reason)
  await takeBackPersons(tx, act, of('property_person'), reason)
  await takeBackOwners(tx, act, of('ownership'), reason)
  const years = of('year_built').map(id => ({ id, yearBuilt: null }))
  await putYearsBuilt(tx, act, years, reason)
  const areas = of('foundation_area').map(id => ({ id, voidedAt: act.now }))
  await putAreas(tx, act, areas, reason)
  await voidHomes(tx, act, await homeVersions(tx, of('property')), reason)
}
