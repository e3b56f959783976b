import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { problem, stale } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { type Restood, restand } from '../../standing/restand.ts'
import { seenHome } from '../../standing/seen-home.ts'
import {
  type CallbackColumns,
  type CallbackRow,
  insertCallback,
  lockCallback,
  markCallbackVoided,
  systemStandsAt,
  updateCallback,
} from './queries.ts'
import type { CallbackCorrection, Closing, NewCallback } from './schemas.ts'

/** Records what was reported about a home, by whom and when. */
export async function recordCallback(
  tx: Tx,
  act: Act,
  propertyId: string,
  input: NewCallback,
): Promise<{ callbackId: string; restood: Restood }> {
  await seenHome(tx, act, propertyId)
  const callback: CallbackColumns = {
    ...input,
    systemId: input.systemId ?? null,
    reportedByCustomer: input.reportedByCustomer ?? null,
    reportedAt: input.reportedAt ?? act.now,
    answers: input.answers ?? [],
    found: '',
    done: '',
    closedAt: null,
    closedBy: null,
  }
  await refuseImpossible(tx, act, propertyId, callback)
  const callbackId = newId()
  await insertCallback(tx, act.now, { ...callback, id: callbackId, propertyId })
  await recordWrite(tx, act, { action: 'create', noun: 'callback', id: callbackId, propertyId, version: 1 })
  return { callbackId, restood: await restand(tx, act, propertyId) }
}

/** Corrects or adds to a callback; the old words stay as a revision. */
export async function correctCallback(
  tx: Tx,
  act: Act,
  callbackId: string,
  version: number,
  { reason, ...correction }: CallbackCorrection,
): Promise<Restood> {
  const was = await callbackToChange(tx, act, callbackId, version)
  const said = Object.fromEntries(Object.entries(correction).filter(([, value]) => value !== undefined))
  return change(tx, act, was, { ...was, ...said }, { fields: Object.keys(said), reason })
}

/** Closes a callback with what was found and done. */
export async function closeCallback(
  tx: Tx,
  act: Act,
  callbackId: string,
  version: number,
  input: Closing,
): Promise<Restood> {
  const was = await callbackToChange(tx, act, callbackId, version)
  const closed = {
    ...was,
    found: input.found,
    done: input.done,
    closedAt: input.closedAt ?? act.now,
    closedBy: act.actor.kind === 'staff' ? act.actor.id : null,
  }
  return change(tx, act, was, closed, { fields: ['found', 'done', 'closedAt'] })
}

/** Opens a closed callback again: the fault came back, or it was closed by mistake. */
export async function reopenCallback(
  tx: Tx,
  act: Act,
  callbackId: string,
  version: number,
  reason: string,
): Promise<Restood> {
  const was = await callbackToChange(tx, act, callbackId, version)
  return change(tx, act, was, { ...was, closedAt: null, closedBy: null }, { fields: ['closedAt'], reason })
}

/** Takes a callback that was none out; it stays in the history, struck through. */
export async function voidCallback(
  tx: Tx,
  act: Act,
  callbackId: string,
  version: number,
  reason: string,
): Promise<Restood> {
  const was = await callbackToChange(tx, act, callbackId, version)
  await markCallbackVoided(tx, act.now, callbackId, reason)
  await recordWrite(tx, act, {
    action: 'void',
    noun: 'callback',
    id: callbackId,
    propertyId: was.propertyId,
    version: version + 1,
    reason,
  })
  return restand(tx, act, was.propertyId)
}

async function callbackToChange(tx: Tx, act: Act, callbackId: string, version: number): Promise<CallbackRow> {
  const callback = await lockCallback(tx, act, callbackId)
  if (callback.version !== version) throw stale(callback.version)
  return callback
}

async function change(
  tx: Tx,
  act: Act,
  was: CallbackRow,
  now: CallbackColumns,
  what: { fields: string[]; reason?: string },
): Promise<Restood> {
  await refuseImpossible(tx, act, was.propertyId, now)
  await updateCallback(tx, act.now, was.id, now)
  await recordWrite(tx, act, {
    action: 'correct',
    noun: 'callback',
    id: was.id,
    propertyId: was.propertyId,
    version: was.version + 1,
    was,
    ...what,
  })
  return restand(tx, act, was.propertyId)
}

// A phone's clock runs a little fast now and then; a report of tomorrow is a typing error.
const clockTolerance = 5 * 60_000

async function refuseImpossible(tx: Tx, act: Act, propertyId: string, callback: CallbackColumns): Promise<void> {
  const faults = []
  if (callback.reportedAt > act.now + clockTolerance)
    faults.push({ pointer: '/reportedAt', code: 'in-the-future', detail: 'lies in the future: correct its date' })
  if (callback.closedAt !== null && callback.closedAt < callback.reportedAt)
    faults.push({
      pointer: '/closedAt',
      code: 'out-of-order',
      detail: 'lies before the report: correct one of the two',
    })
  if (callback.systemId !== null && !(await systemStandsAt(tx, callback.systemId, propertyId)))
    faults.push({
      pointer: '/systemId',
      code: 'unknown-reference',
      detail: 'There is no such system at this home: use one that is listed there',
    })
  if (faults.length)
    throw problem(422, 'impossible', 'The facts contradict each other or nature; nothing was saved.', faults)
}
