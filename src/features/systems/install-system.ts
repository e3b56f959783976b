import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrites } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { type Restood, restand } from '../../standing/restand.ts'
import { seenHome } from '../../standing/seen-home.ts'
import {
  areasNotOf,
  insertComponents,
  insertGaugeReadings,
  insertSuctionPoints,
  insertSystemEvents,
} from './part-queries.ts'
import { insertSystems } from './queries.ts'
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
  const [systemId] = await writeSystems(tx, act, [{ propertyId, system: input }])
  return { systemId: systemId!, restood: await restand(tx, act, propertyId) }
}

/** Writes systems of homes the caller holds, their parts checked already, by the same few statements however many. */
export async function writeSystems(
  tx: Tx,
  act: Act,
  systems: readonly { readonly propertyId: string; readonly system: NewSystem }[],
): Promise<readonly string[]> {
  const made = systems.map(({ propertyId, system }) => ({ id: newId(), propertyId, system }))
  await insertSystems(
    tx,
    act.now,
    made.map(({ id, propertyId, system }) => ({ ...system, tag: system.tag ?? null, id, propertyId })),
  )
  await writeParts(
    tx,
    act,
    made.map(({ id, system }) => ({ systemId: id, parts: system })),
  )
  await recordWrites(
    tx,
    act,
    made.map(({ id, propertyId }) => ({ action: 'create', noun: 'system', id, propertyId, version: 1 })),
  )
  return made.map(({ id }) => id)
}

export type PartsOfSystem = { readonly systemId: string; readonly parts: Parts }

/** Inserts parts that have been checked, and gives the ids of each system's in order. */
export async function writeParts(tx: Tx, act: Act, systems: readonly PartsOfSystem[]): Promise<readonly string[][]> {
  const staffId = act.actor.kind === 'staff' ? act.actor.id : null
  const numbered = systems.map(({ systemId, parts }) => {
    const own = <P>(kind: readonly P[] | undefined) => (kind ?? []).map(part => ({ ...part, id: newId(), systemId }))
    return {
      components: own(parts.components),
      points: own(parts.suctionPoints),
      events: own(parts.events),
      readings: own(parts.gaugeReadings),
    }
  })
  await insertComponents(
    tx,
    act.now,
    numbered.flatMap(one => one.components),
  )
  await insertSuctionPoints(
    tx,
    act.now,
    numbered.flatMap(one => one.points),
  )
  await insertSystemEvents(
    tx,
    act.now,
    staffId,
    numbered.flatMap(one => one.events),
  )
  await insertGaugeReadings(
    tx,
    act.now,
    staffId,
    numbered.flatMap(one => one.readings),
  )
  return numbered.map(({ components, points, events, readings }) =>
    [...components, ...points, ...events, ...readings].map(({ id }) => id),
  )
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
