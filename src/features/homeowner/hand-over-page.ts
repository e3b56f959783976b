import { type Db, sql, type Tx } from '../../platform/db/client.ts'
import { type Act, recordWrites } from '../../platform/db/record-write.ts'

type OfHome = { readonly id: string; readonly propertyId: string }
type HandedOver = { readonly id: string; readonly customerId: string }

// Links go to owners only. Reached by their homes: there is no way in by the person.
const theirs =
  'customer_id = $1 and property_id in (select property_id from ownership where customer_id = $1) order by id'
const links = sql('homeowner-links-of', `select id, property_id as "propertyId" from homeowner_link where ${theirs}`)
/** Every link that somebody was mailed, open or not. */
export const linksOf = (db: Db, customerId: string) => db.rows<OfHome>(links, [customerId])

const reports = sql(
  'homeowner-reports-of',
  `select id, property_id as "propertyId" from homeowner_report where ${theirs}`,
)
/** Everything that somebody sent in. */
export const reportsOf = (db: Db, customerId: string) => db.rows<OfHome>(reports, [customerId])

const handOverLink = sql(
  'homeowner-hand-over-links',
  `update homeowner_link l set customer_id = c."customerId"
     from jsonb_to_recordset($1::jsonb) as c(id uuid, "customerId" uuid) where l.id = c.id`,
)
/** Says whose links are: those that open go on opening the same home. */
export async function handOverLinks(tx: Tx, rows: readonly HandedOver[]): Promise<void> {
  if (rows.length > 0) await tx.rows(handOverLink, [JSON.stringify(rows)])
}

const handOverReport = sql(
  'homeowner-hand-over-reports',
  `update homeowner_report r set customer_id = c."customerId", version = r.version + 1
     from jsonb_to_recordset($1::jsonb) as c(id uuid, "customerId" uuid) where r.id = c.id
   returning r.id, r.property_id as "propertyId", r.version`,
)
/** Says who sent reports in. */
export async function handOverReports(tx: Tx, act: Act, rows: readonly HandedOver[], reason: string): Promise<void> {
  if (rows.length === 0) return
  const changed = await tx.rows<OfHome & { version: number }>(handOverReport, [JSON.stringify(rows)])
  await recordWrites(
    tx,
    act,
    changed.map(row => ({ action: 'correct', noun: 'homeowner_report', ...row, fields: ['customerId'], reason })),
  )
}
