import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Program } from '../../support/actors.ts'
import { aCustomerRow, anOwnership, aPropertyRow, insertRow, writtenAt } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let app: Program

beforeAll(async () => {
  service = await buildTestApp()
  app = await service.as.app()
})
afterAll(() => service.close())

const ann = { name: 'Ann Holm', email: 'ann@home.example', phone: '(218) 555-0142' }
const taken = async (over: object = {}) => (await app.post('/v1/customers', { ...ann, ...over })).body

describe('a customer is refused', () => {
  it('without a token, and without the scope', async () => {
    expect((await service.as.anonymous.get('/v1/customers')).status).toBe(401)
    const reader = await service.as.app({ scopes: ['properties:read'] })
    expect((await reader.get('/v1/customers')).status).toBe(403)
    const writer = await service.as.app({ scopes: ['customers:read'] })
    expect((await writer.post('/v1/customers', ann)).status).toBe(403)
  })

  it('to an app whose homes they are not around, with the answer for somebody who is not there', async () => {
    const home = await aPropertyRow(service.db.pool)
    const theirs = await aCustomerRow(service.db.pool)
    await anOwnership(service.db.pool, home, theirs)
    const granted = await service.as.app({ homes: [home.id] })
    const stranger = await taken({ name: 'Somebody Else' })
    expect((await granted.get(`/v1/customers/${theirs.id}`)).status).toBe(200)
    const [foreign, missing] = await Promise.all([
      granted.get(`/v1/customers/${stranger.id}`),
      granted.get('/v1/customers/019a0000-0000-7000-8000-000000000000'),
    ])
    expect(foreign.status).toBe(404)
    const { requestId: _, instance: __, ...body } = foreign.body
    expect(missing.body).toMatchObject(body)
    expect((await granted.get('/v1/customers')).body.items.map((one: { id: string }) => one.id)).toEqual([theirs.id])
  })

  it('with every fault named where it stands', async () => {
    const answer = await app.post('/v1/customers', { name: ' ', email: 'no', phone: '', language: 'x', shoeSize: 44 })
    expect(answer.status).toBe(422)
    const pointers = answer.body.errors.map((fault: { pointer: string }) => fault.pointer).sort()
    expect(pointers).toEqual(['#/email', '#/language', '#/name', '#/phone', '#/shoeSize'])
  })

  it.each(['12', 'call me', '+1 999'])('with %j as a phone number, and says how to write one', async phone => {
    const answer = await app.post('/v1/customers', { ...ann, phone })
    expect(answer.status).toBe(422)
    expect(answer.body.errors).toMatchObject([{ pointer: '#/phone', code: 'phone' }])
  })

  it('with a line break in the name', async () => {
    expect((await app.post('/v1/customers', { ...ann, name: 'Ann\r\nBcc: x@y.example' })).status).toBe(422)
  })
})

describe('a customer', () => {
  it('is kept with the phone number in one form, however it was written', async () => {
    const answer = await app.post('/v1/customers', ann)
    expect(answer.status).toBe(201)
    expect(answer.headers.location).toBe(`/v1/customers/${answer.body.id}`)
    expect(answer.headers.etag).toBe('"1"')
    expect(answer.body).toMatchObject({ ...ann, phone: '+12185550142', version: 1, voidedAt: null })
    const british = await app.post('/v1/customers', { name: 'Tom', phone: '020 7946 0018', country: 'GB' })
    expect(british.body.phone).toBe('+442079460018')
  })

  it('is taken up once for a key, however often it is sent', async () => {
    const key = 'a-key-of-mine'
    const answers = await Promise.all([1, 2, 3].map(() => app.post('/v1/customers', { ...ann, name: 'Once' }, key)))
    const made = answers.filter(answer => answer.status === 201)
    expect(answers.every(answer => [201, 409].includes(answer.status))).toBe(true)
    expect(new Set(made.map(answer => answer.body.id)).size).toBe(1)
    const again = await app.post('/v1/customers', { ...ann, name: 'Once' }, key)
    expect(again.headers['idempotency-replayed']).toBe('true')
    expect(again.body.id).toBe(made[0]!.body.id)
  })

  it('shows ways to reach them only with contacts:read', async () => {
    const { id } = await taken()
    const reader = await service.as.app({ scopes: ['customers:read'] })
    const shown = (await reader.get(`/v1/customers/${id}`)).body
    expect(shown.name).toBe('Ann Holm')
    for (const field of ['email', 'phone', 'street', 'city', 'postcode', 'note'])
      expect(shown).not.toHaveProperty(field)
    expect((await reader.get('/v1/customers?email=ann@home.example')).status).toBe(403)
  })

  it('answers no 304 for what was kept when less of it was shown', async () => {
    const { id } = await taken()
    const reader = await service.as.app({ scopes: ['customers:read'] })
    const { etag } = (await reader.get(`/v1/customers/${id}`)).headers
    const again = (who: typeof reader) => who.get(`/v1/customers/${id}`).set('if-none-match', etag!)
    expect((await again(reader)).status).toBe(304)
    const whole = await again(app)
    expect(whole.status).toBe(200)
    expect(whole.body.email).toBe('ann@home.example')
  })

  it('is corrected by what is named; the old value stays with who and why', async () => {
    const { id } = await taken({ note: 'met at the fair' })
    const patched = await app.patch(`/v1/customers/${id}`, { email: null, note: 'moved', reason: 'she told us' }, 1)
    expect(patched.status).toBe(200)
    expect(patched.body).toMatchObject({ name: 'Ann Holm', email: null, note: 'moved', version: 2 })
    const [revision] = (
      await service.db.pool.query('select was, reason, actor_kind, actor_id from fact_revision where noun_id = $1', [
        id,
      ])
    ).rows
    expect(revision).toEqual({
      was: { email: 'ann@home.example', note: 'met at the fair' },
      reason: 'she told us',
      actor_kind: 'app',
      actor_id: app.id,
    })
  })

  it('is not overwritten unseen: 428 without a version, 412 with an old one', async () => {
    const { id } = await taken()
    const blind = await app.agent.patch(`/v1/customers/${id}`).send({ note: 'x', reason: 'x' })
    expect(blind.status).toBe(428)
    await app.patch(`/v1/customers/${id}`, { note: 'first', reason: 'x' }, 1)
    const late = await app.patch(`/v1/customers/${id}`, { note: 'second', reason: 'x' }, 1)
    expect([late.status, late.headers.etag]).toEqual([412, '"2"'])
    expect((await app.get(`/v1/customers/${id}`)).body.note).toBe('first')
  })

  it('answers 304 to who has the version already', async () => {
    const { id } = await taken()
    const again = await app.get(`/v1/customers/${id}`).set('if-none-match', '"1"')
    expect([again.status, again.text]).toEqual([304, ''])
  })

  it('is voided with a reason, and not while a home is theirs', async () => {
    const { id } = await taken({ name: 'Void Me' })
    const home = await aPropertyRow(service.db.pool)
    const ownership = await anOwnership(service.db.pool, home, { id })
    const send = () =>
      app.agent.post(`/v1/customers/${id}/void`).set('if-match', '"1"').send({ reason: 'entered twice' })
    expect((await send()).status).toBe(409)
    await service.db.pool.query(`update ownership set until_on = '2026-01-01' where id = $1`, [ownership.id])
    const voided = await send()
    expect(voided.body).toMatchObject({ version: 2, voidReason: 'entered twice' })
    expect((await app.get('/v1/customers?name=void me')).body.items).toEqual([])
  })

  it('is not voided while they have a part in work that is not over, or a kit is out with them', async () => {
    const { id } = await taken({ name: 'Still Needed' })
    const send = () => app.agent.post(`/v1/customers/${id}/void`).set('if-match', '"1"').send({ reason: 'twice' })
    const home = await aPropertyRow(service.db.pool)
    const tie = { property_id: home.id, customer_id: id, created_at: writtenAt }
    const part = { id: randomUUID(), subject: 'test', subject_id: randomUUID(), part: 'may-see', ...tie }
    await insertRow(service.db.pool, 'work_party', part)
    expect((await send()).body.type).toMatch(/still-in-work$/)
    await service.db.pool.query(`update work_party set last_on = '2020-01-01' where id = $1`, [part.id])
    const lot = await app.post('/v1/devices', { kind: 'kit-lot', method: 'activated-charcoal', lot: 'L-7' })
    const kit = { id: randomUUID(), device_id: lot.body.id, number: 'K-7', purpose: 'retest', left_on: '2026-01-05' }
    await insertRow(service.db.pool, 'kit', { ...kit, ...tie, updated_at: writtenAt })
    expect((await send()).body.type).toMatch(/still-has-a-kit$/)
    await service.db.pool.query(`update kit set lost_on = '2026-01-20' where id = $1`, [kit.id])
    expect((await send()).status).toBe(200)
  })

  it('is recorded on screen with the language they speak and how they are best reached', async () => {
    const office = await service.as.office()
    const { id } = await taken({ name: 'Speaks French' })
    const typed = {
      name: 'Speaks French',
      language: 'fr-CA',
      preferredChannel: 'letter',
      reason: 'told us',
      version: 1,
    }
    expect((await office.submit(`/people/${id}/change`, typed)).status).toBe(303)
    expect((await app.get(`/v1/customers/${id}`)).body).toMatchObject({ language: 'fr-CA', preferredChannel: 'letter' })
    expect((await office.get(`/people/${id}/change`)).text).toContain('value="fr-CA"')
  })

  it('leaves a line in the audit log when an app looks', async () => {
    const { id } = await taken()
    await app.get(`/v1/customers/${id}`)
    const { rows } = await service.db.pool.query(
      `select actor_id, fields from audit where noun = 'customer' and noun_id = $1 and action = 'read'`,
      [id],
    )
    expect(rows).toEqual([{ actor_id: app.id, fields: [] }])
  })
})

describe('the list of customers', () => {
  it('is walked whole by its cursor while others are added and corrected, nobody twice and nobody missed', async () => {
    const there = await Promise.all(
      Array.from({ length: 23 }, (_, n) => taken({ name: `Walker ${String(n).padStart(2, '0')}` })),
    )
    const seen: string[] = []
    let next: string | null = '/v1/customers?name=walker&limit=5'
    while (next !== null) {
      const answer: { body: { items: { id: string }[]; next: string | null } } = await app.get(next)
      seen.push(...answer.body.items.map(one => one.id))
      await taken({ name: `Walker ${seen.length} late` })
      next = answer.body.next && `/v1/customers?name=walker&limit=5&cursor=${answer.body.next}`
    }
    expect(new Set(seen).size).toBe(seen.length)
    expect(there.every(one => seen.includes(one.id))).toBe(true)
  })

  it('refuses a cursor of another list, an unknown parameter and a limit beyond 200', async () => {
    const { next } = (await app.get('/v1/customers?limit=1')).body
    expect((await app.get(`/v1/customers?limit=1&name=ann&cursor=${next}`)).status).toBe(400)
    expect((await app.get('/v1/customers?cursor=junk')).status).toBe(400)
    expect((await app.get('/v1/customers?size=1')).status).toBe(400)
    expect((await app.get('/v1/customers?limit=201')).status).toBe(422)
  })

  it('finds by mail address and by home', async () => {
    const found = await taken({ name: 'Findable', email: 'Find.Me@home.example' })
    const home = await aPropertyRow(service.db.pool)
    await anOwnership(service.db.pool, home, { id: found.id })
    for (const query of ['email=find.me@home.example', `propertyId=${home.id}`])
      expect((await app.get(`/v1/customers?${query}`)).body.items).toMatchObject([{ id: found.id }])
  })
})
