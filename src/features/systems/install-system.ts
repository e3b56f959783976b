import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { type Restood, restand } from '../../standing/restand.ts'
import { seenHome } from '../../standing/seen-home.ts'
import {
  areasNotOf,
  insertComponent,
  insertGaugeReading,
  insertSuctionPoint,
  insertSystemEvent,
} from './part-queries.ts'
import { insertSystem } from './queries.ts'
import type { NewComponent, NewGaugeReading, NewSuctionPoint, NewSystem, NewSystemEvent, WhenIn } from './schemas.ts'

/** Any of a system's parts, as they are said. */
export type Parts = {
  components?: readonly NewComponent[]
  suctionPoints?: readonly NewSuctionPoint[]
  events?: readonly NewSystemEvent[]
  gaugeReadings?: readonly NewGaugeReading[]
}

/** Records a system with whatever is known of it: our own, one taken over, or a passive pipe. */
export async function installSystem(
  tx: Tx,
  act: Act,
  propertyId: string,
  input: NewSystem,
): Promise<{ systemId: string; restood: Restood }> {
  await seenHome(tx, act, propertyId)
  await refuseImpossibleParts(tx, act, propertyId, input)
  const systemId = newId()
  await insertSystem(tx, act.now, { ...input, tag: input.tag ?? null, id: systemId, propertyId })
  await insertParts(tx, act, systemId, input)
  await recordWrite(tx, act, { action: 'create', noun: 'system', id: systemId, propertyId, version: 1 })
  return { systemId, restood: await restand(tx, act, propertyId) }
}

/** Inserts parts that have been checked, and gives their ids in order. */
export async function insertParts(tx: Tx, act: Act, systemId: string, parts: Parts): Promise<string[]> {
  const staffId = act.actor.kind === 'staff' ? act.actor.id : null
  const ids: string[] = []
  const next = () => {
    const id = newId()
    ids.push(id)
    return id
  }
  for (const part of parts.components ?? []) await insertComponent(tx, act.now, systemId, next(), part)
  for (const point of parts.suctionPoints ?? []) await insertSuctionPoint(tx, act.now, systemId, next(), point)
  for (const event of parts.events ?? []) await insertSystemEvent(tx, act.now, systemId, next(), staffId, event)
  for (const reading of parts.gaugeReadings ?? [])
    await insertGaugeReading(tx, act.now, systemId, next(), staffId, reading)
  return ids
}

type Fault = { pointer: string; code: string; detail: string }
// A phone's clock runs a little fast now and then; a fact of tomorrow is a typing error.
const clockTolerance = 5 * 60_000

/** Throws one 422 that lists all that is impossible in these parts. */
export async function refuseImpossibleParts(tx: Tx, act: Act, propertyId: string, parts: Parts): Promise<void> {
  const faults: Fault[] = []
  const notInTheFuture = (pointer: string, ms: number | null | undefined) => {
    if (ms != null && ms > act.now + clockTolerance)
      faults.push({ pointer, code: 'in-the-future', detail: 'lies in the future: correct its date' })
  }
  const notBackwards = (pointer: string, from: WhenIn | undefined, to: WhenIn | undefined) => {
    if (from?.at != null && to?.at != null && to.at < from.at)
      faults.push({
        pointer,
        code: 'out-of-order',
        detail: 'was removed before it was installed: correct one of the two',
      })
  }
  parts.components?.forEach((part, i) => {
    notInTheFuture(`/components/${i}/installed/at`, part.installed?.at)
    notInTheFuture(`/components/${i}/removed/at`, part.removed?.at)
    notBackwards(`/components/${i}/removed/at`, part.installed, part.removed)
  })
  parts.events?.forEach((event, i) => {
    notInTheFuture(`/events/${i}/when/at`, event.when.at)
  })
  parts.gaugeReadings?.forEach((reading, i) => {
    notInTheFuture(`/gaugeReadings/${i}/at`, reading.at)
  })
  const areas = (parts.suctionPoints ?? []).flatMap(point => (point.foundationAreaId ? [point.foundationAreaId] : []))
  for (const { id } of areas.length ? await areasNotOf(tx, propertyId, areas) : [])
    faults.push({
      pointer: `/suctionPoints/${parts.suctionPoints!.findIndex(point => point.foundationAreaId === id)}/foundationAreaId`,
      code: 'unknown-reference',
      detail: `There is no foundation area ${id} at this home: use one that is listed there`,
    })
  if (faults.length)
    throw problem(422, 'impossible', 'The facts contradict each other or nature; nothing was saved.', faults)
}
