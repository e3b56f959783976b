import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { forgetOldChanges, keptFor } from '../../../src/features/changes/follow-changes.ts'
import { positionOf, positionText } from '../../../src/features/changes/position.ts'
import { feedLagSeconds } from '../../../src/features/changes/queries.ts'
import { recordWrite, type Write } from '../../../src/platform/db/record-write.ts'
import type { Program } from '../../support/actors.ts'
import { day } from '../../support/clock.ts'
import { eventually } from '../../support/eventually.ts'
import { aCustomerRow, anOwnership, aPropertyRow } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let app: Program

beforeAll(async () => {
  service = await buildTestApp()
  app = await service.as.app()
})
afterAll(() => service.close())

const system = () => ({ actor: { kind: 'system', id: null }, now: service.clock.now(), requestId: 'test' }) as const
async function changed(write: Partial<Write> = {}): Promise<string> {
  const id = write.id ?? randomUUID()
  await service.db.transaction(tx =>
    recordWrite(tx, system(), { action: 'create', noun: 'test', version: 1, ...write, id }),
  )
  return id
}
const read = async (query: object = {}, reader = app) => (await reader.get('/v1/changes').query(query)).body
const latest = async (reader = app): Promise<string> => (await read({ after: 'latest' }, reader)).next
const idsAfter = async (after: string, reader = app): Promise<string[]> =>
  (await read({ after, limit: 200 }, reader)).items.map((item: { id: string }) => item.id)
// Other databases of the server hold the feed back too while their transactions run: it is followed until all is there.
const following = (after: string, count: number, reader = app) =>
  eventually(async () => {
    const ids = await idsAfter(after, reader)
    return ids.length >= count && ids
  })

describe('the feed of changes is refused', () => {
  it('without a token and without its scope', async () => {
    expect((await service.as.anonymous.get('/v1/changes')).status).toBe(401)
    const other = await service.as.app({ scopes: ['tests:read'] })
    expect((await other.get('/v1/changes')).status).toBe(403)
  })

  it.each([
    ['a position that is none', { after: 'abc' }, 400],
    ['a wait of more than 30 s', { wait: 31 }, 400],
    ['a limit of 0', { limit: 0 }, 400],
    ['a limit of 201', { limit: 201 }, 422],
    ['a parameter it does not know', { since: 'yesterday' }, 400],
  ])('with %s', async (_, query, status) => {
    const answer = await app.get('/v1/changes').query(query)
    expect([answer.status, answer.headers['content-type']]).toEqual([status, 'application/problem+json; charset=utf-8'])
  })

  it('from a position more than 90 days old, with 410 and what to do', async () => {
    const old = positionOf(await latest())!
    const at = (givenAt: number) => app.get('/v1/changes').query({ after: positionText({ ...old, givenAt }) })
    const now = service.clock.now()
    expect((await at(now - keptFor)).status).toBe(200)
    const gone = await at(now - keptFor - 1)
    expect(gone.status).toBe(410)
    expect(gone.body.detail).toContain('after=latest')
  })
})

describe('the feed of changes', () => {
  it('tells each change once, in order, a page at a time', async () => {
    const start = await latest()
    const ids = [await changed(), await changed({ action: 'correct', version: 2 }), await changed(), await changed()]
    await following(start, 4)
    const first = await read({ after: start, limit: 3 })
    expect(first.items.map((item: { id: string }) => item.id)).toEqual(ids.slice(0, 3))
    expect(first.more).toBe(true)
    const rest = await read({ after: first.next, limit: 3 })
    expect([rest.items.map((item: { id: string }) => item.id), rest.more]).toEqual([ids.slice(3), false])
    expect(await idsAfter(rest.next)).toEqual([])
    expect(await idsAfter(first.items[1].position)).toEqual(ids.slice(2))
  })

  it('says what happened to which record, and of what was voided leaves a tombstone', async () => {
    const start = await latest()
    const id = await changed({ action: 'void', version: 4 })
    await following(start, 1)
    expect((await read({ after: start })).items).toEqual([
      {
        position: expect.any(String),
        kind: 'void',
        noun: 'test',
        id,
        propertyId: null,
        version: 4,
        occurredAt: new Date(service.clock.now()).toISOString(),
      },
    ])
  })

  it('never skips a change that commits behind a later one', async () => {
    const lag = () => feedLagSeconds(service.db, service.clock.now())
    await eventually(async () => (await lag()) === 0)
    const start = await latest()
    let letGo = () => {}
    const held = new Promise<void>(resolve => {
      letGo = resolve
    })
    const early = randomUUID()
    let entered = () => {}
    const inside = new Promise<void>(resolve => {
      entered = resolve
    })
    const slow = service.db.transaction(async tx => {
      await recordWrite(tx, system(), { action: 'create', noun: 'test', id: early })
      entered()
      await held
    })
    await inside
    const late = await changed()
    const meanwhile = await read({ after: start })
    expect(meanwhile.items).toEqual([])
    service.clock.advance(5_000)
    expect(await lag()).toBe(5)
    letGo()
    await slow
    expect(await following(meanwhile.next, 2)).toEqual([early, late])
    await eventually(async () => (await lag()) === 0)
  })

  it('waits for a change when asked to, and answers as soon as there is one', async () => {
    const start = await latest()
    const began = performance.now()
    const waiting = read({ after: start, wait: 20 })
    const id = await changed()
    expect((await waiting).items.map((item: { id: string }) => item.id)).toEqual([id])
    expect(performance.now() - began).toBeLessThan(10_000)
    const idle = performance.now()
    expect((await read({ after: await latest(), wait: 0.5 })).items).toEqual([])
    expect(performance.now() - idle).toBeGreaterThan(450)
  })

  it('tells an app only of kinds that its scopes let it read', async () => {
    const reader = await service.as.app({ scopes: ['changes:read', 'visits:read'] })
    const start = await latest(reader)
    await changed()
    await changed({ noun: 'staff' })
    const visit = await changed({ noun: 'visit' })
    expect(await following(start, 1, reader)).toEqual([visit])
  })

  it('tells an app only of homes it was granted, of their owners, and of what is the company’s own', async () => {
    const [mine, foreign] = [await aPropertyRow(service.db.pool), await aPropertyRow(service.db.pool)]
    const [owner, stranger] = [await aCustomerRow(service.db.pool), await aCustomerRow(service.db.pool)]
    await anOwnership(service.db.pool, mine, owner)
    const reader = await service.as.app({ homes: [mine.id] })
    const start = await latest(reader)
    const seen = [
      await changed({ propertyId: mine.id }),
      await changed({ noun: 'customer', id: owner.id }),
      await changed({ noun: 'device' }),
    ]
    await changed({ propertyId: foreign.id })
    await changed({ noun: 'customer', id: stranger.id })
    await changed()
    expect(await following(start, 3, reader)).toEqual(seen)
  })

  it('begins anew in a database that was restored: positions of the one before answer 410', async () => {
    const restored = await buildTestApp()
    try {
      const reader = await restored.as.app()
      const gone = await reader.get('/v1/changes').query({ after: await latest() })
      expect(gone.status).toBe(410)
      expect(gone.body.detail).toContain('after=latest')
      const after = (await reader.get('/v1/changes').query({ after: 'latest' })).body.next
      expect((await reader.get('/v1/changes').query({ after })).status).toBe(200)
    } finally {
      await restored.close()
    }
  })

  it('drops what no position can ask for any more, and nothing else', async () => {
    const old = await changed()
    service.clock.advance(keptFor)
    const kept = await changed()
    await forgetOldChanges(service.db, service.clock.now())
    expect((await service.db.pool.query('select 1 from change where noun_id = $1', [old])).rowCount).toBe(1)
    service.clock.advance(day + 1)
    await forgetOldChanges(service.db, service.clock.now())
    const left = await service.db.pool.query('select noun_id as id from change where noun_id in ($1, $2)', [old, kept])
    expect(left.rows).toEqual([{ id: kept }])
  })

  it('ends a wait when the service stops', async () => {
    const small = await buildTestApp()
    const reader = await small.as.app()
    const start = (await reader.get('/v1/changes').query({ after: 'latest' })).body.next
    const began = performance.now()
    const waiting = reader
      .get('/v1/changes')
      .query({ after: start, wait: 30 })
      .then(
        answer => answer.status,
        () => 'cut',
      )
    await eventually(() => small.logged.lines.length > 0)
    await small.close()
    expect(await waiting).toSatisfy(status => status === 200 || status === 503 || status === 'cut')
    expect(performance.now() - began).toBeLessThan(15_000)
  })
})
