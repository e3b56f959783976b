import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { notFound, stale } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { restandHeld } from '../../standing/restand.ts'
import { insertHomeEvent, markEventVoided, readEvent } from './event-queries.ts'
import type { NewHomeEvent } from './people-schemas.ts'
import { holdProperty } from './queries.ts'
import { type Refusal, refuse } from './refuse.ts'
import type { HomeEvent } from './rows.ts'

/** Keeps something done to or happening at a home that may call for a new test; gives the event as kept. */
export async function recordEvent(tx: Tx, act: Act, propertyId: string, input: NewHomeEvent): Promise<HomeEvent> {
  await holdProperty(tx, act, propertyId)
  refuse(faultsOf(input, act.now))
  const id = newId()
  const row = { at: input.at ?? null, roughly: input.roughly ?? null, note: input.note ?? '', kind: input.kind }
  await insertHomeEvent(tx, act.now, { id, propertyId, ...row })
  await restandHeld(tx, act, propertyId, [{ action: 'create', noun: 'home_event', id, propertyId, version: 1 }])
  return { id, ...row, version: 1, createdAt: act.now, voidedAt: null, voidReason: null }
}

function faultsOf(input: NewHomeEvent, now: number): Refusal[] {
  const faults: Refusal[] = []
  if (input.at != null && input.roughly)
    faults.push({ pointer: '/roughly', code: 'two-dates', detail: 'Give the instant or a rough date, not both' })
  if (input.at != null && input.at > now)
    faults.push({ pointer: '/at', code: 'future', detail: 'This is still to come: enter it when it has happened' })
  return faults
}

/** Takes an event out of the reckoning; it stays in the history, struck through. */
export async function voidEvent(
  tx: Tx,
  act: Act,
  propertyId: string,
  eventId: string,
  version: number,
  reason: string,
): Promise<HomeEvent> {
  await holdProperty(tx, act, propertyId)
  const was = await readEvent(tx, propertyId, eventId)
  if (!was || was.voidedAt !== null) throw notFound('home event')
  if (was.version !== version) throw stale(was.version)
  await markEventVoided(tx, act.now, eventId, reason)
  const write = { noun: 'home_event', id: eventId, propertyId, version: version + 1, reason }
  await restandHeld(tx, act, propertyId, [{ action: 'void', ...write }])
  return { ...was, version: version + 1, voidedAt: act.now, voidReason: reason }
}
