import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { LocalDay } from '../../domain/facts.ts'
import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { type Fault, problem, stale } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { seenHome } from '../../standing/seen-home.ts'
import {
  heldLot,
  insertKit,
  type KitColumns,
  type KitRow,
  kitStrangers,
  lockKit,
  markKitVoided,
  numberTaken,
  updateKit,
} from './kit-queries.ts'
import type { KitCorrection, NewKit } from './kit-schemas.ts'

/** A kit of a lot is left at a home. */
export async function leaveKit(tx: Tx, act: Act, propertyId: string, input: NewKit): Promise<string> {
  const { zone } = await seenHome(tx, act, propertyId)
  const { deviceId, ...said } = input
  const kit: KitColumns = {
    number: said.number,
    purpose: said.purpose,
    leftOn: said.leftOn,
    locationId: said.locationId ?? null,
    customerId: said.customerId ?? null,
    leftWith: said.leftWith ?? '',
    exposedFrom: said.exposedFrom ?? null,
    exposedTo: said.exposedTo ?? null,
    postedOn: said.postedOn ?? null,
    returnedOn: null,
    lostOn: null,
    note: said.note ?? '',
  }
  const id = newId()
  refuse(await faultsOf(tx, { ...kit, id, deviceId, propertyId }, localDayOf(act.now, zone)))
  await insertKit(tx, act.now, { ...kit, id, deviceId, propertyId })
  await recordWrite(tx, act, { action: 'create', noun: 'kit', id, propertyId, version: 1 })
  return id
}

/** What the homeowner says of it: its days, posted, unused, lost; or a correction of what was said. */
export async function correctKit(
  tx: Tx,
  act: Act,
  kitId: string,
  version: number,
  { reason, ...correction }: KitCorrection,
): Promise<void> {
  const was = await kitToChange(tx, act, kitId, version)
  const said = Object.fromEntries(Object.entries(correction).filter(([, value]) => value !== undefined))
  const now: KitRow = { ...was, ...said }
  refuse([
    ...(await faultsOf(tx, now, localDayOf(act.now, was.zone))),
    ...(reason === undefined ? changedWithoutReason(was, said) : []),
  ])
  await updateKit(tx, act.now, kitId, now)
  await written(tx, act, was, { action: 'correct', fields: Object.keys(said), reason })
}

/** Takes out a kit that was entered wrongly. */
export async function voidKit(tx: Tx, act: Act, kitId: string, version: number, reason: string): Promise<void> {
  const was = await kitToChange(tx, act, kitId, version)
  await markKitVoided(tx, act.now, kitId, reason)
  await written(tx, act, was, { action: 'void', reason })
}

async function kitToChange(tx: Tx, act: Act, kitId: string, version: number): Promise<KitRow> {
  const kit = await lockKit(tx, act, kitId)
  if (kit.version !== version) throw stale(kit.version)
  return kit
}

async function written(
  tx: Tx,
  act: Act,
  was: KitRow,
  what: { action: 'correct' | 'void'; fields?: string[]; reason?: string },
): Promise<void> {
  // Where the home stands and what its test says are facts of theirs.
  const { address: _a, zone: _z, country: _c, test: _t, method: _m, lotExpiresOn: _l, ...kept } = was
  const { id, propertyId } = was
  await recordWrite(tx, act, { ...what, noun: 'kit', id, propertyId, version: was.version + 1, was: kept })
}

async function faultsOf(
  tx: Tx,
  kit: KitColumns & { id: string; deviceId: string; propertyId: string },
  today: LocalDay,
): Promise<Fault[]> {
  const lot = await heldLot(tx, kit.deviceId)
  if (!lot)
    return [{ pointer: '/deviceId', code: 'unknown-reference', detail: 'is no lot of kits: use one that is listed' }]
  const faults = [...daysAhead(kit, today), ...daysOutOfOrder(kit)]
  if (lot.expiresOn !== null && kit.leftOn > lot.expiresOn)
    faults.push({
      pointer: '/deviceId',
      code: 'lot-expired',
      detail: `This lot was usable until ${lot.expiresOn}: take a kit of another lot`,
    })
  if (await numberTaken(tx, kit.deviceId, kit.number, kit.id))
    faults.push({
      pointer: '/number',
      code: 'number-taken',
      detail: 'A kit of this lot with this number is out already: read the number again, or open that kit',
    })
  for (const field of await kitStrangers(tx, kit.propertyId, kit))
    faults.push({
      pointer: `/${field}`,
      code: 'unknown-reference',
      detail: 'is not of this home: use one listed there',
    })
  return faults
}

const inOrder = ['leftOn', 'exposedFrom', 'exposedTo', 'postedOn'] as const

function daysOutOfOrder(kit: KitColumns): Fault[] {
  const faults: Fault[] = []
  let before: (typeof inOrder)[number] | null = null
  for (const name of inOrder) {
    if (kit[name] === null) continue
    if (before && kit[name] < kit[before]!)
      faults.push({
        pointer: `/${name}`,
        code: 'out-of-order',
        detail: `${name} lies before ${before}: correct one of the two`,
      })
    before = name
  }
  if (kit.exposedTo !== null && kit.exposedFrom === null)
    faults.push({ pointer: '/exposedFrom', code: 'needed', detail: 'An end is known: say when it was opened, too' })
  if (kit.returnedOn !== null && kit.exposedFrom !== null)
    faults.push({
      pointer: '/returnedOn',
      code: 'out-of-order',
      detail: 'It was exposed, so it did not come back unused: clear one of the two',
    })
  return faults
}

const daysAhead = (kit: KitColumns, today: LocalDay): Fault[] =>
  ([...inOrder, 'returnedOn', 'lostOn'] as const)
    .filter(name => kit[name] !== null && kit[name] > today)
    .map(name => ({
      pointer: `/${name}`,
      code: 'in-the-future',
      detail: `${name} lies in the future: correct the day`,
    }))

const known = ['number', 'leftOn', 'exposedFrom', 'exposedTo', 'postedOn', 'returnedOn', 'lostOn'] as const
function changedWithoutReason(was: KitRow, said: Partial<KitColumns>): Fault[] {
  const changes = known.some(name => name in said && was[name] !== null && said[name] !== was[name])
  if (!changes) return []
  return [{ pointer: '/reason', code: 'reason-needed', detail: 'This was said differently before: say why it changes' }]
}

function refuse(faults: readonly Fault[]): void {
  if (faults.length > 0)
    throw problem(422, 'impossible', 'The facts contradict each other or nature; nothing was saved.', faults)
}
