import { createHash } from 'node:crypto'
import type { Tx } from '../platform/db/client.ts'
import { type Act, recordWrite } from '../platform/db/record-write.ts'
import { newId } from '../platform/ids.ts'
import { holdHomes, restandHomes } from '../standing/restand.ts'
import { insertCorrection, lockedCorrection } from './correction-queries.ts'
import type { Aim, Done, Part, Tagged } from './correction-rows.ts'
import { type HomeChange, homeChanges, homesNamed } from './home-change.ts'

/** Does the work of a correction, stands its homes anew, and keeps what it changed with the reason. */
export async function makeCorrection(tx: Tx, act: Act, aim: Aim, work: (tx: Tx) => Promise<Done>): Promise<Tagged> {
  const homes = [...new Set(aim.homes)].sort()
  const { done, standings } = await standingsAround(tx, act, homes, work)
  const id = newId()
  await insertCorrection(tx, act, { ...aim, id, homes, standings, ...done })
  await recordWrite(tx, act, {
    ...{ action: 'create', noun: 'correction', id, propertyId: homes[0] ?? null, version: 1 },
  })
  return { correction: await lockedCorrection(tx, id), tag: tagOf(aim, done, standings) }
}

/** Runs work on homes that it holds, and tells where each stood before and stands after. */
export async function standingsAround<D>(
  tx: Tx,
  act: Act,
  homes: readonly string[],
  work: (tx: Tx) => Promise<D>,
): Promise<{ readonly done: D; readonly standings: readonly HomeChange[] }> {
  await holdHomes(tx, homes)
  // Stood anew first: what time alone has changed is none of the correction's doing.
  const before = { stood: await restandHomes(tx, act, homes), named: await homesNamed(tx, homes) }
  const done = await work(tx)
  const after = { stood: await restandHomes(tx, act, homes), named: await homesNamed(tx, homes) }
  return { done, standings: homeChanges(homes, before, after) }
}

/** A short hash of what is changed: of the aim, of each field as it was, of the standings, and of what is told. */
function tagOf(aim: Aim, { parts, told }: Done, standings: readonly HomeChange[]): string {
  const { reason: _, ...what } = aim
  // Neither the instant of a voiding nor the id of a new record is known beforehand.
  const changed = parts.map(({ noun, recordId, field, was }: Part) => [
    noun,
    field === 'made' ? '' : recordId,
    field,
    was,
  ])
  return shortHash([what, changed, told, standings])
}

export const shortHash = (what: unknown): string =>
  createHash('sha256').update(JSON.stringify(what)).digest('base64url').slice(0, 16)
