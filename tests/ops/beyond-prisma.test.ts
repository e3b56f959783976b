import { randomUUID } from 'node:crypto'
import pg from 'pg'
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { aDatabase, type TestDatabase } from '../support/database.ts'
import {
  aCompany,
  aCustomerRow,
  aGrant,
  anAppRow,
  anAssignment,
  anOwnership,
  aPropertyRow,
  aStaffMember,
  aVisitRow,
  insertRow,
  type Row,
} from '../support/rows.ts'

let database: TestDatabase
let db: pg.Pool
let home: Row
beforeAll(async () => {
  database = await aDatabase()
  db = new pg.Pool({ connectionString: database.url })
  db.on('error', () => {})
  await aCompany(db, { crew_days_after: 14 })
})
afterAll(async () => {
  await db.end()
  await database.drop()
})
beforeEach(async () => {
  home = await aPropertyRow(db)
})

const day = 86_400_000
const visit = Date.parse('2026-04-01T15:00:00Z')

async function sees(kind: string, id: string, at: number): Promise<boolean> {
  const { rows } = await db.query('select property_id from visible_home($1, $2, $3)', [kind, id, new Date(at)])
  return rows.some(row => row.property_id === home.id)
}

describe('crew', () => {
  let crew: Row
  let planned: Row
  beforeEach(async () => {
    crew = await aStaffMember(db, { roles: ['crew'] })
    planned = await aVisitRow(db, home, { starts_at: new Date(visit), ends_at: null })
    await anAssignment(db, planned, crew, new Date(visit - day))
  })

  it('sees a home from the instant of being assigned to a visit there', async () => {
    expect(await sees('staff', crew.id, visit - day - 1)).toBe(false)
    expect(await sees('staff', crew.id, visit - day)).toBe(true)
  })

  it("sees it until the company's number of days after the visit", async () => {
    expect(await sees('staff', crew.id, visit + 14 * day)).toBe(true)
    expect(await sees('staff', crew.id, visit + 14 * day + 1)).toBe(false)
  })

  it('counts the days from when the visit was done', async () => {
    await db.query('update visit set done_at = $2 where id = $1', [planned.id, new Date(visit + 3 * day)])
    expect(await sees('staff', crew.id, visit + 17 * day)).toBe(true)
    expect(await sees('staff', crew.id, visit + 17 * day + 1)).toBe(false)
  })

  it('sees nothing through a voided visit, nor through the visit of somebody else', async () => {
    const other = await aStaffMember(db, { roles: ['crew'] })
    expect(await sees('staff', other.id, visit)).toBe(false)
    await db.query('update visit set voided_at = $2 where id = $1', [planned.id, new Date(visit)])
    expect(await sees('staff', crew.id, visit)).toBe(false)
  })
})

it('shows an app a home from the first to before the last instant of its grant', async () => {
  const app = await anAppRow(db)
  await aGrant(db, app, home, { from: new Date(visit), until: new Date(visit + day) })
  expect(await sees('app', app.id, visit - 1)).toBe(false)
  expect(await sees('app', app.id, visit)).toBe(true)
  expect(await sees('app', app.id, visit + day - 1)).toBe(true)
  expect(await sees('app', app.id, visit + day)).toBe(false)
})

it('shows a customer the home of a link that still opens', async () => {
  const customer = await aCustomerRow(db)
  const link = await insertRow(db, 'homeowner_link', {
    id: randomUUID(),
    property_id: home.id,
    customer_id: customer.id,
    purpose: 'retest',
    created_at: new Date(visit),
    expires_at: new Date(visit + day),
  })
  expect(await sees('homeowner', customer.id, visit - 1)).toBe(false)
  expect(await sees('homeowner', customer.id, visit)).toBe(true)
  expect(await sees('homeowner', customer.id, visit + day)).toBe(false)
  await db.query('update homeowner_link set revoked_at = $2 where id = $1', [link.id, new Date(visit)])
  expect(await sees('homeowner', customer.id, visit)).toBe(false)
})

it('shows nobody else anything', async () => {
  const customer = await aCustomerRow(db)
  await anOwnership(db, home, customer)
  for (const kind of ['customer', 'owner', 'office', '', 'system'])
    expect(await sees(kind, customer.id, visit)).toBe(false)
})

describe('ownership', () => {
  it('has one owner at a time, who leaves on the day the next one comes', async () => {
    const [first, second] = [await aCustomerRow(db), await aCustomerRow(db)]
    await anOwnership(db, home, first, { from_on: '2020-01-01', until_on: '2024-05-01' })
    await anOwnership(db, home, second, { from_on: '2024-05-01' })
    await expect(anOwnership(db, home, first, { from_on: '2030-01-01' })).rejects.toThrow('ownership_one_at_a_time')
  })

  it('takes an unknown first day for an open beginning', async () => {
    const owner = await aCustomerRow(db)
    await anOwnership(db, home, owner, { from_on: null, until_on: '2024-05-01' })
    await expect(anOwnership(db, home, owner, { from_on: '1990-01-01', until_on: '1991-01-01' })).rejects.toThrow(
      'ownership_one_at_a_time',
    )
  })

  it('leaves voided deeds out', async () => {
    const owner = await aCustomerRow(db)
    await anOwnership(db, home, owner, { from_on: '2020-01-01', voided_at: new Date(visit) })
    await expect(anOwnership(db, home, owner, { from_on: '2020-01-01' })).resolves.toBeDefined()
  })
})

describe('the audit log', () => {
  const line = () =>
    db.query(
      `insert into audit (at, actor_kind, action, noun, xid) values ($1, 'system', 'create', 'x', pg_current_xact_id())`,
      [new Date(visit)],
    )

  it('takes the hash of the chain once, and no other change', async () => {
    await line()
    await expect(db.query(`update audit set action = 'void'`)).rejects.toThrow('append-only')
    await expect(db.query(`update audit set hash = '\\x01', action = 'void'`)).rejects.toThrow('append-only')
    await db.query(`update audit set hash = '\\x01'`)
    await expect(db.query(`update audit set hash = '\\x02'`)).rejects.toThrow('append-only')
    await expect(db.query('update audit set hash = null')).rejects.toThrow('append-only')
    await expect(db.query('delete from audit')).rejects.toThrow('append-only')
  })
})

it('holds one company', async () => {
  await expect(aCompany(db, { id: 2 })).rejects.toThrow('company_one_row')
})
