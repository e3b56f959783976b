import { randomUUID } from 'node:crypto'
import type pg from 'pg'

/** Anything that runs SQL: a pool, a client, `database.pool`. */
export type Sql = Pick<pg.Pool, 'query'>
export type Row = Readonly<Record<string, unknown>> & { readonly id: string }

/** The instant that rows made by these functions were written at, unless told otherwise. */
export const writtenAt = new Date('2026-01-05T12:00:00Z')
const stamps = { created_at: writtenAt, updated_at: writtenAt }

/** Inserts one row as it stands, by column names. For states no verb can make, and for rigs that need many rows. */
export async function insertRow<T extends Record<string, unknown>>(db: Sql, table: string, row: T): Promise<T> {
  const columns = Object.keys(row).map(name => `"${name}"`)
  const places = columns.map((_, at) => `$${at + 1}`)
  await db.query(`insert into "${table}" (${columns.join()}) values (${places.join()})`, Object.values(row))
  return row
}

type Over = Readonly<Record<string, unknown>>

/** The company: one row, in Minnesota, reminders released. */
export const aCompany = (db: Sql, over: Over = {}) =>
  insertRow(db, 'company', {
    id: 1,
    name: 'Clearwell Mitigation',
    street: '12 Foundry Lane',
    city: 'Duluth',
    region: 'MN',
    postcode: '55802',
    country: 'US',
    zone: 'America/Chicago',
    phone: '+12185550100',
    reply_to: 'office@clearwell.example',
    reminders_released_at: writtenAt,
    updated_at: writtenAt,
    ...over,
  })

/** A licence of the company, or with `staff_id` a certificate of one of its people. */
export const aCredential = (db: Sql, over: Over = {}): Promise<Row> =>
  insertRow(db, 'credential', { id: randomUUID(), kind: 'licence', number: 'MN-RM-0417', ...stamps, ...over })

export const aStaffMember = (db: Sql, over: Over = {}): Promise<Row> => {
  const id = randomUUID()
  return insertRow(db, 'staff', {
    id,
    email: `${id.slice(-12)}@clearwell.example`,
    name: 'Robin Vance',
    roles: ['office'],
    ...stamps,
    ...over,
  })
}

export const aCustomerRow = (db: Sql, over: Over = {}): Promise<Row> => {
  const id = randomUUID()
  return insertRow(db, 'customer', { id, name: 'Ann Holm', email: `${id.slice(-12)}@home.example`, ...stamps, ...over })
}

/** A home in Duluth, with no owner and no test location yet. */
export const aPropertyRow = (db: Sql, over: Over = {}): Promise<Row> =>
  insertRow(db, 'property', {
    id: randomUUID(),
    street: '8 Alder Street',
    city: 'Duluth',
    region: 'MN',
    postcode: '55803',
    country: 'US',
    zone: 'America/Chicago',
    jurisdiction: 'US',
    ...stamps,
    ...over,
  })

export const aLocationRow = (db: Sql, property: Row, over: Over = {}): Promise<Row> =>
  insertRow(db, 'test_location', {
    id: randomUUID(),
    property_id: property.id,
    name: 'Basement',
    floor: -1,
    lived_in: true,
    created_at: writtenAt,
    ...over,
  })

export const anOwnership = (db: Sql, property: Row, customer: Row, over: Over = {}): Promise<Row> =>
  insertRow(db, 'ownership', {
    id: randomUUID(),
    property_id: property.id,
    customer_id: customer.id,
    created_at: writtenAt,
    ...over,
  })

export const aSystemRow = (db: Sql, property: Row, over: Over = {}): Promise<Row> =>
  insertRow(db, 'system', {
    id: randomUUID(),
    property_id: property.id,
    type: 'sub-slab',
    installed_by: 'us',
    ...stamps,
    ...over,
  })

export const aVisitRow = (db: Sql, property: Row, over: Over = {}): Promise<Row> =>
  insertRow(db, 'visit', {
    id: randomUUID(),
    property_id: property.id,
    purpose: 'set',
    starts_at: writtenAt,
    ...stamps,
    ...over,
  })

export const anAssignment = (db: Sql, visit: Row, staff: Row, at = writtenAt) =>
  insertRow(db, 'visit_crew', { visit_id: visit.id, staff_id: staff.id, assigned_at: at })

/** An app's row; its secret and grants are separate. */
export const anAppRow = (db: Sql, over: Over = {}): Promise<Row> => {
  const id = randomUUID()
  return insertRow(db, 'app', {
    id,
    name: 'Field tools',
    client_id: `app-${id.slice(-12)}`,
    scopes: [],
    all_homes: true,
    ...stamps,
    ...over,
  })
}

export const aGrant = (db: Sql, app: Row, property: Row, over: Over = {}) =>
  insertRow(db, 'app_grant', { id: randomUUID(), app_id: app.id, property_id: property.id, from: writtenAt, ...over })
