import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import type { TypedFields } from '../../web/typed-fields.ts'
import { lockReport, type Report, type Settling, settleReport } from './report-queries.ts'

/** What a report was made into: the noun and its id. */
export type Accepted = { readonly noun: 'visit' | 'test' | 'system' | 'callback' | 'ownership'; readonly id: string }
/** Makes a report's fact, with what the office added to it; its verbs belong to other features. */
export type AcceptWith = (tx: Tx, act: Act, report: Report, typed: TypedFields) => Promise<Accepted>

/** Takes a report up: the fact it tells of is recorded and the report names it. */
export async function acceptReport(
  tx: Tx,
  act: Act,
  given: { readonly id: string; readonly version: number; readonly typed: TypedFields },
  acceptWith: AcceptWith,
): Promise<Accepted> {
  const report = await lockReport(tx, given.id, given.version)
  if (report.state !== 'new') throw problem(409, 'settled-already', 'This report was settled already.')
  const made = await acceptWith(tx, act, report, given.typed)
  await settle(tx, act, report, { state: 'accepted', acceptedAs: made.noun, acceptedId: made.id })
  return made
}

/** Lays a report aside: nothing follows from it. */
export async function dismissReport(tx: Tx, act: Act, id: string, version: number): Promise<void> {
  const report = await lockReport(tx, id, version)
  await settle(tx, act, report, { state: 'dismissed', acceptedAs: null, acceptedId: null })
}

/** Takes a settling back. A fact that was made of the report stays until it is voided at its own page. */
export async function reopenReport(tx: Tx, act: Act, id: string, version: number): Promise<void> {
  const report = await lockReport(tx, id, version)
  await settle(tx, act, report, { state: 'new', acceptedAs: null, acceptedId: null })
}

async function settle(tx: Tx, act: Act, report: Report, settling: Omit<Settling, 'by'>): Promise<void> {
  await settleReport(tx, act.now, report.id, { ...settling, by: act.actor.id })
  await recordWrite(tx, act, {
    action: 'correct',
    noun: 'homeowner_report',
    id: report.id,
    propertyId: report.propertyId,
    version: report.version + 1,
    fields: ['state'],
    was: { state: report.state, acceptedAs: report.acceptedAs, acceptedId: report.acceptedId },
  })
}
