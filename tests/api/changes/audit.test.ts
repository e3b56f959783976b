import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { sealAllAudit, sealAudit, unsealedSince, verifyAuditChain } from '../../../src/features/changes/seal-audit.ts'
import { auditRead } from '../../../src/platform/db/audit-read.ts'
import type { Act } from '../../../src/platform/db/record-write.ts'
import { recordWrite } from '../../../src/platform/db/record-write.ts'
import { eventually } from '../../support/eventually.ts'
import { aCustomerRow, aPropertyRow } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp

beforeAll(async () => {
  service = await buildTestApp()
})
afterAll(() => service.close())

const system = (): Act => ({ actor: { kind: 'system', id: null }, now: service.clock.now(), requestId: 'test' })
const anApp = (id: string): Act => ({
  actor: { kind: 'app', id, name: 'Reader', scopes: [], allHomes: true },
  now: service.clock.now(),
  requestId: 'request-1',
})
const write = () =>
  service.db.transaction(tx => recordWrite(tx, system(), { action: 'create', noun: 'test', id: randomUUID() }))
// Transactions of other databases of the server hold the sealer back as well.
const sealed = () =>
  eventually(async () => {
    await sealAllAudit(service.db)
    return (await unsealedSince(service.db, service.clock.now() + 1)) === 0
  })
const linesOf = async (actorId: string) =>
  (await service.db.pool.query('select * from audit where actor_id = $1 order by seq', [actorId])).rows

describe('a look of an app at personal data', () => {
  it('is on record before the answer is given: who, what, which home, under which request', async () => {
    const customer = await aCustomerRow(service.db.pool)
    const app = await service.as.app()
    const answer = await app.get(`/v1/customers/${customer.id}`)
    expect(answer.status).toBe(200)
    expect(await linesOf(app.id)).toMatchObject([
      {
        action: 'read',
        actor_kind: 'app',
        noun: 'customer',
        noun_id: customer.id,
        request_id: answer.headers['x-request-id'] ?? answer.headers['request-id'],
      },
    ])
  })

  it('of many requests at once is written in few statements, one line each', async () => {
    const app = randomUUID()
    const home = await aPropertyRow(service.db.pool)
    const asked = Array.from({ length: 200 }, () => randomUUID())
    await Promise.all(asked.map(id => auditRead(service.db, anApp(app), 'customer', [{ id, propertyId: home.id }])))
    const lines = await linesOf(app)
    expect(lines.map(line => line.noun_id).sort()).toEqual(asked.toSorted())
    expect(new Set(lines.map(line => line.xid)).size).toBeLessThan(5)
  })

  it('covers the records that a page shows, not the one that tells of a next page', async () => {
    const app = await service.as.app()
    const home = await aPropertyRow(service.db.pool)
    for (const type of ['passive-stack', 'water-aeration', 'other'])
      await app.post(`/v1/properties/${home.id}/systems`, { type }).expect(201)
    const reader = await service.as.app()
    const { body } = await reader.get(`/v1/systems?propertyId=${home.id}&limit=2`).expect(200)
    const shown = body.items.map((item: { id: string }) => item.id)
    expect(shown).toHaveLength(2)
    expect((await linesOf(reader.id)).map(line => line.noun_id)).toEqual(shown)
  })

  it('is an answer that shows the record: 304 writes no line, another version than the named one does', async () => {
    const writer = await service.as.app()
    const home = await aPropertyRow(service.db.pool)
    const made = await writer.post(`/v1/properties/${home.id}/systems`, { type: 'passive-stack' }).expect(201)
    const path = made.headers.location as string
    const reader = await service.as.app()
    for (const held of ['"1"', 'W/"1"', '"7", "1"', '*']) {
      const answer = await reader.get(path).set('if-none-match', held).expect(304)
      expect([answer.headers.etag, answer.text ?? '']).toEqual(['"1"', ''])
    }
    expect(await linesOf(reader.id)).toEqual([])
    await reader.get(path).set('if-none-match', '"2"').expect(200)
    expect(await linesOf(reader.id)).toMatchObject([{ action: 'read', noun: 'system', property_id: home.id }])
    const stranger = await service.as.app({ homes: [] })
    await stranger.get(path).set('if-none-match', '*').expect(404)
  })

  it('that can not be written down is no look: the caller is told', async () => {
    const act = anApp('no-uuid')
    await expect(auditRead(service.db, act, 'customer', [{ id: randomUUID(), propertyId: null }])).rejects.toThrow()
    await expect(
      auditRead(service.db, anApp(randomUUID()), 'customer', [{ id: randomUUID(), propertyId: null }]),
    ).resolves.toBeUndefined()
  })
})

describe('the audit log', () => {
  it('can be neither altered nor shortened', async () => {
    await write()
    for (const change of [`update audit set action = 'read'`, 'delete from audit', `update audit set hash = null`])
      await expect(service.db.pool.query(change)).rejects.toThrow('append-only')
  })

  it('is sealed up to the oldest running transaction, in an order that stays', async () => {
    await sealed()
    let letGo = () => {}
    let entered = () => {}
    const held = new Promise<void>(resolve => {
      letGo = resolve
    })
    const inside = new Promise<void>(resolve => {
      entered = resolve
    })
    const slow = service.db.transaction(async tx => {
      await recordWrite(tx, system(), { action: 'create', noun: 'test', id: randomUUID() })
      entered()
      await held
    })
    await inside
    await write()
    expect(await sealAudit(service.db)).toBe(0)
    expect(await unsealedSince(service.db, service.clock.now() + 1)).toBe(1)
    letGo()
    await slow
    await eventually(async () => (await sealAudit(service.db)) === 2)
    expect(await verifyAuditChain(service.db)).toMatchObject({ whole: true, unsealed: 0 })
  })

  it('sealed by several processes at once is one chain', async () => {
    for (let n = 0; n < 40; n++) await write()
    let sealed = 0
    await eventually(async () => {
      const counts = await Promise.all([sealAllAudit(service.db), sealAllAudit(service.db), sealAllAudit(service.db)])
      sealed += counts.reduce((sum, n) => sum + n, 0)
      return sealed >= 40
    })
    expect(sealed).toBe(40)
    expect(await verifyAuditChain(service.db)).toMatchObject({ whole: true, unsealed: 0 })
  })

  it.each([
    ['altered', `update audit set action = 'read' where seq = $1`],
    ['taken out', 'delete from audit where seq = $1'],
    ['given another time', `update audit set at = at + interval '1 ms' where seq = $1`],
  ])('shows where a row was %s behind its back', async (_, tampering) => {
    for (let n = 0; n < 5; n++) await write()
    await sealed()
    const { rows } = await service.db.pool.query(
      'select seq::text from audit order by xid desc, seq desc limit 1 offset 2',
    )
    const client = await service.db.pool.connect()
    try {
      await client.query('begin')
      await client.query('alter table audit disable trigger user')
      await client.query(tampering, [rows[0].seq])
      const inside = {
        rows: async <R>(statement: { text: string }, values: readonly unknown[] = []) =>
          (await client.query(statement.text, [...values])).rows as R[],
        one: async <R>(statement: { text: string }, values: readonly unknown[] = []) =>
          ((await client.query(statement.text, [...values])).rows[0] ?? null) as R | null,
      }
      const found = await verifyAuditChain(inside)
      expect(found.whole).toBe(false)
      if (!found.whole) expect(Number(found.brokenAt.seq)).toBeGreaterThanOrEqual(Number(rows[0].seq))
    } finally {
      await client.query('rollback')
      client.release()
    }
    expect((await verifyAuditChain(service.db)).whole).toBe(true)
  })
})

describe('the page of the audit log', () => {
  it('is the owner’s alone', async () => {
    expect((await (await service.as.office()).get('/changes')).status).toBe(403)
    expect((await (await service.as.crew()).get('/changes')).status).toBe(403)
  })

  it('says which app looked at whom, and what people changed', async () => {
    const customer = await aCustomerRow(service.db.pool, { name: 'Ann <Holm>' })
    const app = await service.as.app()
    await app.get(`/v1/customers/${customer.id}`)
    const owner = await service.as.owner()
    const looks = await owner.get('/changes?what=read&who=app')
    expect(looks.text).toContain('app Field tools')
    expect(looks.text).toContain('Ann &lt;Holm>')
    const changes = await owner.get('/changes?what=write')
    expect(changes.text).toContain('added app')
    expect(changes.text).not.toContain('looked at customer')
  })
})
