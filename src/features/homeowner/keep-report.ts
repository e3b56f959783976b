import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { newId } from '../../platform/ids.ts'
import { insertReport, type OpenLink } from './queries.ts'
import type { ReportKind } from './read-report.ts'

/** Keeps what a homeowner sent, raw and unverified; the office sees it at once. */
export async function keepReport(
  tx: Tx,
  act: Act,
  link: OpenLink,
  report: { readonly kind: ReportKind; readonly body: Readonly<Record<string, unknown>> },
): Promise<string> {
  const id = newId()
  const { propertyId, linkId, customerId } = link
  await insertReport(tx, act.now, { id, propertyId, linkId, customerId, kind: report.kind, body: report.body })
  await recordWrite(tx, act, { action: 'create', noun: 'homeowner_report', id, propertyId, version: 1 })
  return id
}
