import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'

/** A link that opens, with the person and home it is for and whom to ask. */
export type OpenLink = {
  readonly linkId: string
  readonly propertyId: string
  readonly customerId: string
  readonly customerName: string
  readonly mailsStopped: boolean
  readonly address: string
  readonly country: string
  readonly zone: string
  readonly company: {
    readonly name: string
    readonly phone: string | null
    readonly email: string | null
    readonly licenceNumbers: readonly string[]
    readonly unit: string
    readonly country: string
    readonly cautionAdded: string
  }
  readonly rooms: readonly { readonly id: string; readonly name: string }[]
  readonly systems: readonly { readonly id: string; readonly tag: string | null }[]
}

const columns = (now: number) => `p.id as "propertyId", u.id as "customerId", coalesce(u.name, '') as "customerName",
  u.mails_stopped_at is not null as "mailsStopped", p.country, p.zone,
  p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address,
  (select json_build_object('name', c.name, 'phone', nullif(c.phone, ''), 'email', nullif(c.reply_to, ''),
     'licenceNumbers', licences_on(($${now}::timestamptz at time zone c.zone)::date), 'unit', c.default_unit,
     'country', c.country, 'cautionAdded', c.caution_added) from company c) as company,
  (select coalesce(json_agg(json_build_object('id', l.id, 'name', l.name) order by l.position, l.id), '[]')
     from test_location l where l.property_id = p.id and l.voided_at is null) as rooms,
  (select coalesce(json_agg(json_build_object('id', s.id, 'tag', s.tag) order by s.created_at, s.id), '[]')
     from system s where s.property_id = p.id and s.voided_at is null) as systems`

const live = sql(
  'homeowner-live-link',
  `select k.id as "linkId", ${columns(2)}
   from homeowner_link k join property p on p.id = k.property_id join customer u on u.id = k.customer_id
   where k.id = $1 and k.revoked_at is null and k.created_at <= $2 and $2 < k.expires_at and p.voided_at is null`,
)
/** The link if it opens now: neither expired nor revoked, by a sale or otherwise. */
export const liveLink = (db: Db, linkId: string, now: number) => db.one<OpenLink>(live, [linkId, at(now)])

const preview = sql(
  'homeowner-preview',
  `select '' as "linkId", ${columns(2)}
   from property p left join customer u on u.id = (select a.customer_id from around_home a
     where a.property_id = p.id and a.role = 'owner' and a.until_on is null limit 1)
   where p.id = $1`,
)
/** The home's page as its owner of today would get it, for staff to look at. */
export const previewOf = (db: Db, propertyId: string, now: number) => db.one<OpenLink>(preview, [propertyId, at(now)])

const recipient = sql('homeowner-recipient', 'select customer_id as "customerId" from homeowner_link where id = $1')
/** Whom a link was mailed to, whether it still opens or not: to stop mails it is enough to have had one. */
export const recipientOf = (db: Db, linkId: string) => db.one<{ customerId: string }>(recipient, [linkId])

const insert = sql(
  'homeowner-report-insert',
  `insert into homeowner_report (id, property_id, link_id, customer_id, kind, body, received_at)
   values ($1, $2, $3, $4, $5, $6, $7)`,
)
export type NewReport = {
  readonly id: string
  readonly propertyId: string
  readonly linkId: string
  readonly customerId: string
  readonly kind: string
  readonly body: Readonly<Record<string, unknown>>
}
export const insertReport = (tx: Tx, now: number, report: NewReport) =>
  tx.rows(insert, [
    report.id,
    report.propertyId,
    report.linkId,
    report.customerId,
    report.kind,
    JSON.stringify(report.body),
    at(now),
  ])
