import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import { notFound, stale } from '../../platform/http/problem.ts'
import type { ReportKind } from './read-report.ts'

export type ReportState = 'new' | 'accepted' | 'dismissed'
export type Report = {
  readonly id: string
  readonly propertyId: string
  readonly customerId: string | null
  readonly customerName: string
  readonly address: string
  readonly zone: string
  readonly country: string
  readonly kind: ReportKind
  readonly body: Readonly<Record<string, unknown>>
  readonly receivedAt: number
  readonly state: ReportState
  readonly acceptedAs: string | null
  readonly acceptedId: string | null
  readonly version: number
  readonly rooms: readonly { readonly id: string; readonly name: string }[]
}
const columns = `r.id, r.property_id as "propertyId", r.customer_id as "customerId", coalesce(c.name, '') as "customerName",
  p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address, p.zone, p.country, r.kind,
  r.body, r.received_at as "receivedAt", r.state, r.accepted_as as "acceptedAs", r.accepted_id as "acceptedId", r.version,
  (select coalesce(json_agg(json_build_object('id', l.id, 'name', l.name) order by l.position, l.id), '[]')
     from test_location l where l.property_id = p.id and l.voided_at is null) as rooms`
const joined =
  'from homeowner_report r join property p on p.id = r.property_id left join customer c on c.id = r.customer_id'

const list = sql(
  'reports-list',
  `select ${columns} ${joined} where r.state = $1 order by r.received_at desc, r.id limit 200`,
)
/** What homeowners sent, in one state, newest first. */
export const reportsIn = (db: Db, state: ReportState) => db.rows<Report>(list, [state])

const one = sql('reports-one', `select ${columns} ${joined} where r.id = $1`)
export async function readReportById(db: Db, id: string): Promise<Report> {
  const report = await db.one<Report>(one, [id])
  if (!report) throw notFound('report')
  return report
}

const lock = sql('reports-lock', 'select version from homeowner_report where id = $1 for update')
/** Holds a report that is to be settled. @throws 412 when somebody settled it since it was read. */
export async function lockReport(tx: Tx, id: string, version: number): Promise<Report> {
  const row = await tx.one<{ version: number }>(lock, [id])
  if (!row) throw notFound('report')
  if (row.version !== version) throw stale(row.version)
  return readReportById(tx, id)
}

const settle = sql(
  'reports-settle',
  `update homeowner_report set state = $2, settled_at = $3, settled_by = $4, accepted_as = $5, accepted_id = $6,
     version = version + 1 where id = $1`,
)
export type Settling = {
  readonly state: ReportState
  readonly by: string | null
  readonly acceptedAs: string | null
  readonly acceptedId: string | null
}
export const settleReport = (tx: Tx, now: number, id: string, { state, by, acceptedAs, acceptedId }: Settling) =>
  tx.rows(settle, [id, state, state === 'new' ? null : at(now), state === 'new' ? null : by, acceptedAs, acceptedId])
