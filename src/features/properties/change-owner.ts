import { edtfDays } from '../../domain/calendar/edtf.ts'
import { localDayOf, startOfDay } from '../../domain/calendar/local-day.ts'
import type { LocalDay } from '../../domain/facts.ts'
import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite, recordWrites } from '../../platform/db/record-write.ts'
import { newId } from '../../platform/ids.ts'
import { restand } from '../../standing/restand.ts'
import { insertHomeEvent } from './event-queries.ts'
import {
  endOwnership,
  insertOwnerships,
  isCustomer,
  type OwnershipInsert,
  readPeople,
  revokeLinksOf,
  voidOwnerships,
} from './people-queries.ts'
import type { OwnerChange } from './people-schemas.ts'
import { lockProperty } from './queries.ts'
import { type Refusal, refuse, unknownReference } from './refuse.ts'
import type { AroundHome } from './rows.ts'

/**
 * A home changes hands: the old ownership ends on the day the new one begins, the old owner's links close, a sale is
 * kept as an event of the home. A correction instead replaces an owner who never was one.
 */
export async function changeOwner(
  tx: Tx,
  act: Act,
  propertyId: string,
  change: OwnerChange,
): Promise<{ ownershipId: string; linksClosed: number }> {
  const home = await lockProperty(tx, act, propertyId)
  const today = localDayOf(act.now, home.zone)
  const onDay = change.onDay ?? (change.roughly ? edtfDays(change.roughly)?.earliest : null) ?? today
  const old = (await readPeople(tx, propertyId)).find(person => person.role === 'owner' && person.untilOn === null)
  refuse([
    ...faultsOf(change, onDay, today, old),
    ...((await isCustomer(tx, change.customerId))
      ? []
      : [unknownReference('/customerId', 'customer', change.customerId)]),
  ])
  const linksClosed = old ? await partWith(tx, act, propertyId, old, change, onDay) : 0
  const fromOn = change.because === 'correction' && old ? old.fromOn : onDay
  const row = { propertyId, customerId: change.customerId, fromOn, roughly: change.roughly ?? null }
  const [ownershipId] = await writeOwners(tx, act, [row])
  if (change.because === 'sale') await keepSale(tx, act, propertyId, change, startOfDay(onDay, home.zone))
  await restand(tx, act, propertyId)
  return { ownershipId: ownershipId!, linksClosed }
}

/** Writes who owns homes that have no owner, by the same few statements however many; gives the ids. */
export async function writeOwners(
  tx: Tx,
  act: Act,
  owners: readonly Omit<OwnershipInsert, 'id'>[],
): Promise<readonly string[]> {
  const rows = owners.map(owner => ({ ...owner, id: newId() }))
  await insertOwnerships(tx, act.now, rows)
  await recordWrites(
    tx,
    act,
    rows.map(({ id, propertyId }) => ({ action: 'create', noun: 'ownership', id, propertyId, version: 1 })),
  )
  return rows.map(({ id }) => id)
}

/** Takes ownerships back, as never having been. */
export async function takeBackOwners(tx: Tx, act: Act, ids: readonly string[], reason: string): Promise<void> {
  const voided = await voidOwnerships(tx, ids, act.now)
  await recordWrites(
    tx,
    act,
    voided.map(row => ({ action: 'void', noun: 'ownership', ...row, reason })),
  )
}

function faultsOf(change: OwnerChange, onDay: LocalDay, today: LocalDay, old: AroundHome | undefined): Refusal[] {
  const faults: Refusal[] = []
  if (change.onDay && change.roughly)
    faults.push({ pointer: '/roughly', code: 'two-dates', detail: 'Give the day or a rough date, not both' })
  if (onDay > today)
    faults.push({
      pointer: '/onDay',
      code: 'future',
      detail: `${onDay} is still to come: enter it when it has happened`,
    })
  if (old?.customerId === change.customerId)
    faults.push({ pointer: '/customerId', code: 'same-owner', detail: `${old.name} is the owner already` })
  if (old?.fromOn && change.because !== 'correction' && onDay <= old.fromOn)
    faults.push({
      pointer: '/onDay',
      code: 'order',
      detail: `${old.name} became owner on ${old.fromOn}: give a later day`,
    })
  return faults
}

async function partWith(
  tx: Tx,
  act: Act,
  propertyId: string,
  old: AroundHome,
  change: OwnerChange,
  onDay: LocalDay,
): Promise<number> {
  const mistaken = change.because === 'correction'
  const version = mistaken
    ? ((await voidOwnerships(tx, [old.id], act.now))[0]?.version ?? 0)
    : await endOwnership(tx, old.id, onDay)
  await recordWrite(tx, act, {
    action: mistaken ? 'void' : 'correct',
    noun: 'ownership',
    id: old.id,
    propertyId,
    version,
    fields: mistaken ? [] : ['untilOn'],
    was: mistaken ? { customerId: old.customerId, fromOn: old.fromOn } : { untilOn: null },
    reason: change.because,
  })
  return revokeLinksOf(tx, propertyId, old.customerId, act.now)
}

async function keepSale(tx: Tx, act: Act, propertyId: string, change: OwnerChange, at: number) {
  const id = newId()
  const rough = change.roughly ?? null
  await insertHomeEvent(tx, act.now, { id, propertyId, kind: 'sale', at: rough ? null : at, roughly: rough, note: '' })
  await recordWrite(tx, act, { action: 'create', noun: 'home_event', id, propertyId, version: 1 })
}
