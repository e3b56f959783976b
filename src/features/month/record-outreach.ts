import { firstDayOf, monthAfter } from '../../domain/calendar/month.ts'
import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { problem, stale } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { seenHome } from '../../standing/seen-home.ts'
import { insertOutreach, lockOutreach, markOutreachVoided } from './outreach-queries.ts'
import { monthSettings, readMonth, wholeMonth } from './queries.ts'
import type { NewOutreach } from './schemas.ts'

/** Keeps that a home was called, or that what it owes was put off to another month. */
export async function recordOutreach(tx: Tx, act: Act, propertyId: string, said: NewOutreach): Promise<string> {
  await seenHome(tx, act, propertyId)
  const id = newId()
  const staffId = act.actor.kind === 'staff' ? act.actor.id : null
  const row = said.kind === 'called' ? await aCall(tx, act, said) : await aPuttingOff(tx, act, propertyId, said)
  await insertOutreach(tx, act.now, { ...row, kind: said.kind, id, propertyId, staffId })
  await recordWrite(tx, act, { action: 'create', noun: 'outreach', id, propertyId, version: 1 })
  return id
}

async function aCall(tx: Tx, { now }: Act, said: Extract<NewOutreach, { kind: 'called' }>) {
  const { today } = await monthSettings(tx, now)
  if (said.callAgainOn < today) throw refused('/callAgainOn', 'has passed: choose a day to come')
  return { outcome: said.outcome, backOn: said.callAgainOn, note: said.note ?? '', causes: [] }
}

// What is put off is what would have stood on the lists until then: something new that comes up is not.
async function aPuttingOff(
  tx: Tx,
  act: Act,
  propertyId: string,
  { untilMonth, reason }: Extract<NewOutreach, { kind: 'put-off' }>,
) {
  const settings = await monthSettings(tx, act.now)
  const backOn = firstDayOf(untilMonth)
  if (backOn <= settings.today) throw refused('/untilMonth', 'is not ahead: choose a later month')
  const asked = { ...wholeMonth, month: monthAfter(untilMonth, -1), homeId: propertyId, contacts: false }
  const { homes } = await readMonth(tx, act, settings, asked)
  const causes = (homes[0]?.items ?? []).map(({ causeId }) => causeId)
  if (causes.length === 0) throw refused('/untilMonth', 'puts nothing off: until then nothing of this home is due')
  return { outcome: '', backOn, note: reason, causes }
}

const refused = (pointer: string, detail: string) =>
  problem(422, 'impossible', 'This can not be; nothing was saved.', [{ pointer, code: 'out-of-order', detail }])

/** Takes back what was noted wrongly: the home stands on the list again as before. */
export async function voidOutreach(tx: Tx, act: Act, id: string, version: number, reason: string): Promise<void> {
  const was = await lockOutreach(tx, act, id)
  if (was.version !== version) throw stale(was.version)
  await markOutreachVoided(tx, act.now, id, reason)
  const { propertyId } = was
  await recordWrite(tx, act, { action: 'void', noun: 'outreach', id, propertyId, version: version + 1, reason, was })
}
