import pg from 'pg'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { aDatabase, type TestDatabase } from '../support/database.ts'

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
