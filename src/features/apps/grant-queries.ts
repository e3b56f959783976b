import type { Instant } from '../../domain/facts.ts'
import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'

export type Grant = { id: string; propertyId: string; address: string; from: Instant; until: Instant | null }

const address = `p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city`

const ofApp = sql(
  'grant-of-app',
  `select g.id, g.property_id as "propertyId", ${address} as address, g."from", g.until
    from app_grant g join property p on p.id = g.property_id
    where g.app_id = $1 and (g.until is null or g.until > $2) order by p.city, p.street, g.id`,
)
/** Homes an app may see, now or from a later day; grants that have ended are left to the audit log. */
export const grantsOfApp = (db: Db, appId: string, now: number) => db.rows<Grant>(ofApp, [appId, at(now)])

const insert = sql(
  'grant-insert',
  `insert into app_grant (id, app_id, property_id, "from", until)
   select $1, $2, p.id, $4, $5 from property p where p.id = $3 and p.voided_at is null returning id`,
)
/** Lets an app see a home; false when there is no such home. */
export const insertGrant = async (tx: Tx, appId: string, grant: Omit<Grant, 'address'>): Promise<boolean> =>
  (await tx.one(insert, [
    grant.id,
    appId,
    grant.propertyId,
    at(grant.from),
    grant.until === null ? null : at(grant.until),
  ])) !== null

const end = sql(
  'grant-end',
  `update app_grant set until = greatest($3::timestamptz, "from") where app_id = $1 and id = $2
     and (until is null or until > $3) returning property_id as "propertyId"`,
)
/** Ends a grant now; gives its home, or null when the app has no such open grant. */
export const endGrant = (tx: Tx, now: number, appId: string, grantId: string) =>
  tx.one<{ propertyId: string }>(end, [appId, grantId, at(now)])

const find = sql(
  'grant-find-homes',
  `select p.id, ${address} as address from property p
    where p.voided_at is null and ${address} || ' ' || p.postcode ilike '%' || $1 || '%' escape '\\'
    order by p.city, p.street, p.id limit 20`,
)
/** Homes whose address holds a text, at most 20. */
export const findHomes = (db: Db, text: string) =>
  db.rows<{ id: string; address: string }>(find, [text.replaceAll(/[\\%_]/g, '\\$&')])
