import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { problem, stale } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { seenHome } from '../../standing/seen-home.ts'
import {
  assignCrew,
  insertVisit,
  lockVisit,
  markVisitVoided,
  updateVisit,
  type VisitColumns,
  type VisitRow,
  visitStrangers,
} from './queries.ts'
import type { NewVisit, VisitCorrection, VisitReport } from './schemas.ts'

/** Plans a visit to a home and assigns its crew, who see the home from then on. */
export async function planVisit(tx: Tx, act: Act, propertyId: string, input: NewVisit): Promise<string> {
  await seenHome(tx, act, propertyId)
  const { crew = [], ...said } = input
  const visit: VisitColumns = {
    ...said,
    endsAt: said.endsAt ?? null,
    callbackId: said.callbackId ?? null,
    testId: said.testId ?? null,
    instructions: said.instructions ?? '',
    outcome: '',
    outcomeNote: '',
    arrivedAt: null,
    doneAt: null,
  }
  await refuseImpossible(tx, propertyId, visit, crew)
  const visitId = newId()
  await insertVisit(tx, act.now, { ...visit, id: visitId, propertyId })
  await assignCrew(tx, act.now, visitId, crew)
  await recordWrite(tx, act, { action: 'create', noun: 'visit', id: visitId, propertyId, version: 1 })
  return visitId
}

/** Moves, re-assigns or corrects a visit. */
export async function correctVisit(
  tx: Tx,
  act: Act,
  visitId: string,
  version: number,
  { reason, crew, ...correction }: VisitCorrection,
): Promise<void> {
  const was = await visitToChange(tx, act, visitId, version)
  const said = Object.fromEntries(Object.entries(correction).filter(([, value]) => value !== undefined))
  const now = { ...was, ...said }
  await refuseImpossible(tx, was.propertyId, now, crew ?? [])
  await updateVisit(tx, act.now, visitId, now)
  if (crew) await assignCrew(tx, act.now, visitId, crew)
  await written(tx, act, was, { fields: [...Object.keys(said), ...(crew ? ['crew'] : [])], reason })
}

/** The crew says how it went. */
export async function reportVisit(
  tx: Tx,
  act: Act,
  visitId: string,
  version: number,
  input: VisitReport,
): Promise<void> {
  const was = await visitToChange(tx, act, visitId, version)
  const now: VisitColumns = {
    ...was,
    outcome: input.outcome,
    outcomeNote: input.outcomeNote ?? was.outcomeNote,
    arrivedAt: input.arrivedAt ?? was.arrivedAt,
    doneAt: input.doneAt ?? act.now,
  }
  await refuseImpossible(tx, was.propertyId, now, [])
  await updateVisit(tx, act.now, visitId, now)
  await written(tx, act, was, { fields: ['outcome', 'outcomeNote', 'arrivedAt', 'doneAt'] })
}

/** Takes a visit out that was entered wrongly; one that fell through has the outcome `called-off` instead. */
export async function voidVisit(tx: Tx, act: Act, visitId: string, version: number, reason: string): Promise<void> {
  const was = await visitToChange(tx, act, visitId, version)
  await markVisitVoided(tx, act.now, visitId, reason)
  await written(tx, act, was, { action: 'void', reason })
}

async function visitToChange(tx: Tx, act: Act, visitId: string, version: number): Promise<VisitRow> {
  const visit = await lockVisit(tx, act, visitId)
  if (visit.version !== version) throw stale(visit.version)
  return visit
}

async function written(
  tx: Tx,
  act: Act,
  was: VisitRow,
  what: { action?: 'correct' | 'void'; fields?: string[]; reason?: string },
): Promise<void> {
  // The way into a house is the home's fact, not the visit's: it has no place in the visit's history.
  const { accessNote: _a, gateCode: _g, dogNote: _d, address: _s, ...kept } = was
  await recordWrite(tx, act, {
    action: 'correct',
    ...what,
    noun: 'visit',
    id: was.id,
    propertyId: was.propertyId,
    version: was.version + 1,
    was: kept,
  })
}

async function refuseImpossible(
  tx: Tx,
  propertyId: string,
  visit: VisitColumns,
  crew: readonly string[],
): Promise<void> {
  const faults = []
  if (visit.endsAt !== null && visit.endsAt <= visit.startsAt)
    faults.push({ pointer: '/endsAt', code: 'out-of-order', detail: 'is not after startsAt: correct one of the two' })
  if (visit.arrivedAt !== null && visit.doneAt !== null && visit.doneAt < visit.arrivedAt)
    faults.push({ pointer: '/doneAt', code: 'out-of-order', detail: 'lies before arrivedAt: correct one of the two' })
  const found = await visitStrangers(tx, propertyId, {
    crew,
    callbacks: visit.callbackId ? [visit.callbackId] : [],
    tests: visit.testId ? [visit.testId] : [],
  })
  for (const { kind, id } of found)
    faults.push({
      pointer: kind === 'crew' ? `/crew/${crew.indexOf(id)}` : `/${kind}`,
      code: 'unknown-reference',
      detail: `${id} is not there: use one that is listed`,
    })
  if (faults.length) throw problem(422, 'impossible', 'The facts contradict each other; nothing was saved.', faults)
}
