import pg from 'pg'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { sql } from '../../src/platform/db/client.ts'
import { aDatabase, anOpenDatabase, type TestDatabase } from '../support/database.ts'
import { changedTables, databaseDigest } from '../support/reconcile.ts'
import {
  aCompany,
  aCustomerRow,
  aGrant,
  aLocationRow,
  anAppRow,
  anAssignment,
  anOwnership,
  aPropertyRow,
  aStaffMember,
  aSystemRow,
  aVisitRow,
} from '../support/rows.ts'

let one: TestDatabase
let two: TestDatabase
beforeAll(async () => {
  ;[one, two] = await Promise.all([aDatabase(), aDatabase()])
})
afterAll(() => Promise.all([one.drop(), two.drop()]))

it('gives every caller a migrated database of its own', async () => {
  const first = new pg.Client(one.url)
  const second = new pg.Client(two.url)
  await Promise.all([first.connect(), second.connect()])
  await first.query(
    `insert into device (id, kind, method, created_at, updated_at) values (gen_random_uuid(), 'monitor', 'crm', now(), now())`,
  )
  expect((await first.query('select count(*)::int as n from device')).rows[0].n).toBe(1)
  expect((await second.query('select count(*)::int as n from device')).rows[0].n).toBe(0)
  await Promise.all([first.end(), second.end()])
})

it('opens one with the handle that the product uses', async () => {
  const { db, close } = await anOpenDatabase()
  await aCompany(db.pool)
  const property = await aPropertyRow(db.pool)
  await anOwnership(db.pool, property, await aCustomerRow(db.pool))
  await aLocationRow(db.pool, property)
  await aSystemRow(db.pool, property)
  await anAssignment(db.pool, await aVisitRow(db.pool, property), await aStaffMember(db.pool, { roles: ['crew'] }))
  await aGrant(db.pool, await anAppRow(db.pool, { all_homes: false }), property)
  const homes = await db.rows<{ id: string }>(sql('rig-homes', 'select id from property'))
  expect(homes).toEqual([{ id: property.id }])
  await close()
})

it('tells which tables a change touched', async () => {
  const { db, close } = await anOpenDatabase()
  const before = await databaseDigest(db.pool)
  await aCompany(db.pool)
  expect(changedTables(before, await databaseDigest(db.pool))).toEqual(['company'])
  await close()
})
