import pg from 'pg'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { loadDemo } from '../../seed/load-demo.ts'
import { type Database, openDatabase, type Tx } from '../../src/platform/db/client.ts'
import { restand, restandHomes } from '../../src/standing/restand.ts'
import { aClock, day } from '../support/clock.ts'
import { aDatabase, type TestDatabase } from '../support/database.ts'
import { aLog } from '../support/log.ts'

let database: TestDatabase
let db: Database
let homes: string[]
const clock = aClock('2026-11-20T18:00:00Z')
const act = { actor: { kind: 'operator', id: null }, now: clock.now() + 400 * day, requestId: 'batches' } as const

beforeAll(async () => {
  database = await aDatabase()
  db = openDatabase({ url: database.url, log: aLog().log })
  await loadDemo(db, clock)
  homes = (await db.pool.query<{ id: string }>('select id from property order by id')).rows.map(row => row.id)
})
afterAll(async () => {
  await db.close()
  await database.drop()
})

class TakenBack extends Error {}

/** All that a way of standing homes writes, as it left it; then it is taken back. Obligations get ids of their own each time. */
async function writtenBy(forget: readonly string[], stand: (tx: Tx) => Promise<unknown>) {
  let written: Record<string, unknown[]> = {}
  await db
    .transaction(async tx => {
      for (const statement of forget) await tx.raw.query(statement)
      const { rows: last } = await tx.raw.query(
        'select max(c.seq) as change, max(a.seq) as audit from change c, audit a',
      )
      await stand(tx)
      const read = async (text: string, values: unknown[] = []) => (await tx.raw.query(text, values)).rows
      written = {
        standings: await read('select * from standing order by property_id'),
        evaluations: await read('select * from test_evaluation order by test_id'),
        obligations: await read(
          `select to_jsonb(o) - 'id' as obligation from obligation o order by property_id, kind, cause_id`,
        ),
        feed: await read(
          'select at, kind, noun, noun_id, property_id, version from change where seq > $1 order by seq',
          [last[0].change],
        ),
        audit: await read('select * from audit where seq > $1 order by seq', [last[0].audit]),
      }
      throw new TakenBack()
    })
    .catch(error => {
      if (!(error instanceof TakenBack)) throw error
    })
  return written
}

const oneByOne = async (tx: Tx) => {
  for (const home of homes) await restand(tx, act, home)
}
const together = (tx: Tx) => restandHomes(tx, act, homes)

describe('homes stood together', () => {
  it.each([
    [
      'from nothing',
      ['delete from notice', 'delete from obligation', 'delete from standing', 'delete from test_evaluation'],
    ],
    ['when every text differs from the one kept', [`update standing set body = body || ' '`]],
    ['when the way of reckoning is new', ['update standing set engine_version = 0', 'delete from test_evaluation']],
    ['when no more than time has passed', []],
  ])('are written as one by one, %s', async (_, forget) => {
    const alone = await writtenBy(forget, oneByOne)
    expect(alone.standings).toHaveLength(homes.length)
    expect(alone.obligations!.length).toBeGreaterThan(10)
    expect(await writtenBy(forget, together)).toEqual(alone)
  })

  it('take the statements of one home', async () => {
    const count = async (ids: readonly string[]) => {
      const query = pg.Client.prototype.query
      let said = 0
      await writtenBy(['update standing set engine_version = 0', 'delete from test_evaluation'], async tx => {
        pg.Client.prototype.query = function counted(this: pg.Client, ...args: unknown[]) {
          said++
          return (query as (...args: unknown[]) => unknown).apply(this, args)
        } as never
        await restandHomes(tx, act, ids).finally(() => {
          pg.Client.prototype.query = query
        })
      })
      return said
    }
    const { rows } = await db.pool.query<{ id: string }>(
      'select t.property_id as id from series s join exposure x on x.id = s.exposure_id join test t on t.id = x.test_id limit 1',
    )
    expect(await count(homes)).toBe(await count([rows[0]!.id]))
  })
})
