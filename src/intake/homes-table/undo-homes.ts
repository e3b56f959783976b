import { takeBackCustomers } from '../../features/customers/correct-customer.ts'
import { voidNotes } from '../../features/documents/keep-note.ts'
import { takeBackOwners } from '../../features/properties/change-owner.ts'
import { takeBackPersons } from '../../features/properties/change-people.ts'
import { voidHomes } from '../../features/properties/correct-property.ts'
import { takeBackParts, takeBackSystems } from '../../features/systems/change-system.ts'
import { voidTests } from '../../features/tests/correct-test.ts'
import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { holdHomes, restandHomes } from '../../standing/restand.ts'
import type { LeftHome } from '../import-rows.ts'
import {
  aroundNoHome,
  homeVersions,
  type Made,
  type MadeNoun,
  madeBy,
  releaseHomesOf,
  touchedHomes,
} from './made-queries.ts'

/** Takes back what an import of homes made, home by home; a home somebody has worked with since stays whole and is told. */
export async function undoHomes(tx: Tx, act: Act, importId: string, reason: string): Promise<readonly LeftHome[]> {
  const made = await madeBy(tx, importId)
  const homes = [...new Set(made.flatMap(({ propertyId }) => propertyId ?? []))].sort()
  await holdHomes(tx, homes)
  const left = await touchedHomes(tx, importId)
  const kept = new Set(left.map(({ propertyId }) => propertyId))
  const back = made.filter(({ propertyId }) => propertyId === null || !kept.has(propertyId))
  await takeBack(tx, act, back, reason)
  const gone = homes.filter(id => !kept.has(id))
  await restandHomes(tx, act, gone)
  await releaseHomesOf(tx, importId, gone)
  return left
}

async function takeBack(tx: Tx, act: Act, made: readonly Made[], reason: string): Promise<void> {
  const of = (noun: MadeNoun) => made.flatMap(one => (one.noun === noun ? [one.id] : []))
  await voidTests(tx, act, of('test'), reason)
  await takeBackParts(tx, act, of('part'), reason)
  await takeBackSystems(tx, act, of('system'), reason)
  await voidNotes(tx, act, of('note'), reason)
  await takeBackPersons(tx, act, of('property_person'), reason)
  await takeBackOwners(tx, act, of('ownership'), reason)
  await voidHomes(tx, act, await homeVersions(tx, of('property')), reason)
  await takeBackCustomers(tx, act, await aroundNoHome(tx, of('customer')), reason)
}
