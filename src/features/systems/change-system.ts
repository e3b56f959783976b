import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite, recordWrites } from '../../platform/db/record-write.ts'
import { notFound, stale } from '../../platform/http/problem.ts'
import { type Restood, restand } from '../../standing/restand.ts'
import { type Parts, type PartsOfSystem, refuseImpossibleParts, writeParts } from './install-system.ts'
import { markPartsVoided, markPartVoided, type PartKind, updateComponent } from './part-queries.ts'
import { lockSystem, markSystemsVoided, touchSystems, updateSystem } from './queries.ts'
import type { ComponentRow, SystemRow } from './rows.ts'
import type { ComponentCorrection, NewComponent, SystemCorrection } from './schemas.ts'

/** Locks a system and sees that it is the version the change is meant for. */
export async function systemToChange(tx: Tx, act: Act, systemId: string, version: number): Promise<SystemRow> {
  const system = await lockSystem(tx, act, systemId)
  if (system.version !== version) throw stale(system.version)
  return system
}

/** Corrects a system's own facts; the old ones stay as a revision. */
export async function correctSystem(
  tx: Tx,
  act: Act,
  systemId: string,
  version: number,
  { reason, ...correction }: SystemCorrection,
): Promise<Restood> {
  const was = await systemToChange(tx, act, systemId, version)
  const said = Object.fromEntries(Object.entries(correction).filter(([, value]) => value !== undefined))
  await updateSystem(tx, act.now, systemId, { ...was, ...said })
  return written(tx, act, was, { action: 'correct', fields: Object.keys(said), reason })
}

/** Adds a part, an event or a gauge reading: a dated fact, so no version of the system is asked for. */
export async function addParts(
  tx: Tx,
  act: Act,
  systemId: string,
  parts: Parts,
): Promise<{ ids: string[]; restood: Restood }> {
  const system = await lockSystem(tx, act, systemId)
  await refuseImpossibleParts(tx, act, system.propertyId, parts)
  const [ids] = await writeParts(tx, act, [{ systemId, parts }])
  await touchSystems(tx, act.now, [systemId])
  return { ids: ids!, restood: await written(tx, act, system, { action: 'correct', fields: Object.keys(parts) }) }
}

/** Corrects a component, or dates its removal. */
export async function correctComponent(
  tx: Tx,
  act: Act,
  systemId: string,
  version: number,
  componentId: string,
  { reason, ...correction }: ComponentCorrection,
): Promise<Restood> {
  const system = await systemToChange(tx, act, systemId, version)
  const was = system.components.find(part => part.id === componentId)
  if (!was) throw notFound('component')
  const now: NewComponent = { ...asSaid(was), ...correction }
  await refuseImpossibleParts(tx, act, system.propertyId, { components: [now] })
  await updateComponent(tx, componentId, now)
  await touchSystems(tx, act.now, [systemId])
  return written(tx, act, system, { action: 'correct', fields: ['components'], reason })
}

const asSaid = (part: ComponentRow): NewComponent => ({
  ...part,
  installed: { at: part.installed.at, approx: part.installed.edtf },
  removed: part.removed ? { at: part.removed.at, approx: part.removed.edtf } : undefined,
})

/** Takes out a part, event or reading that was entered wrongly. */
export async function voidPart(
  tx: Tx,
  act: Act,
  systemId: string,
  version: number,
  part: { kind: PartKind; id: string; reason: string },
): Promise<Restood> {
  const system = await systemToChange(tx, act, systemId, version)
  if (!(await markPartVoided(tx, act.now, systemId, part))) throw notFound(part.kind)
  await touchSystems(tx, act.now, [systemId])
  return written(tx, act, system, { action: 'correct', fields: [part.kind], reason: part.reason })
}

/** Takes a whole system out of the reckoning; it stays in the history, struck through. */
export async function voidSystem(
  tx: Tx,
  act: Act,
  systemId: string,
  version: number,
  reason: string,
): Promise<Restood> {
  const system = await systemToChange(tx, act, systemId, version)
  await markSystemsVoided(tx, act.now, [systemId], reason)
  return written(tx, act, system, { action: 'void', reason })
}

/** The same for many of homes the caller holds and stands anew; gives those that stood. */
export async function takeBackSystems(tx: Tx, act: Act, ids: readonly string[], reason: string) {
  const voided = await markSystemsVoided(tx, act.now, ids, reason)
  await recordWrites(
    tx,
    act,
    voided.map(row => ({ action: 'void', noun: 'system', ...row, reason })),
  )
  return voided
}

/** Takes back parts of systems of homes the caller holds and stands anew. */
export async function takeBackParts(tx: Tx, act: Act, ids: readonly string[], reason: string): Promise<void> {
  const touched = await touchSystems(tx, act.now, await markPartsVoided(tx, act.now, ids))
  await recordWrites(
    tx,
    act,
    touched.map(row => ({ action: 'correct', noun: 'system', ...row, fields: ['parts'], reason })),
  )
}

/** Adds parts, checked already, to systems of homes the caller holds and stands anew; gives the ids of each. */
export async function addPartsToMany(
  tx: Tx,
  act: Act,
  systems: readonly PartsOfSystem[],
): Promise<readonly string[][]> {
  const ids = await writeParts(tx, act, systems)
  const touched = await touchSystems(
    tx,
    act.now,
    systems.map(({ systemId }) => systemId),
  )
  await recordWrites(
    tx,
    act,
    touched.map(row => ({ action: 'correct', noun: 'system', ...row, fields: ['parts'] })),
  )
  return ids
}

/** Keeps what a system was, and stands its home anew. */
export async function written(
  tx: Tx,
  act: Act,
  was: SystemRow,
  what: { action: 'correct' | 'void'; fields?: string[]; reason?: string },
): Promise<Restood> {
  await recordWrite(tx, act, {
    ...what,
    noun: 'system',
    id: was.id,
    propertyId: was.propertyId,
    version: was.version + 1,
    was,
  })
  return restand(tx, act, was.propertyId)
}
