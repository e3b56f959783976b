import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { restandHomes } from '../../../src/standing/restand.ts'
import type { Program } from '../../support/actors.ts'
import { withShippedPolicies } from '../../support/laws-in-database.ts'
import { aCustomerRow } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let app: Program

beforeAll(async () => {
  service = await buildTestApp({ at: '2026-03-02T15:00:00Z' })
  await withShippedPolicies(service.db, {
    actor: { kind: 'operator', id: null },
    now: service.clock.now(),
    requestId: 'test',
  })
  app = await service.as.app()
})
afterAll(() => service.close())

const alder = { street: '8 Alder Street', city: 'Duluth', region: 'MN', postcode: '55803', country: 'US' }
const taken = async (over: object = {}) => (await app.post('/v1/properties', { ...alder, ...over })).body
const voiding = (path: string, version: string | number, reason = 'entered twice') =>
  app.agent.post(`${path}/void`).set('if-match', `"${version}"`).send({ reason })

describe('a home is refused', () => {
  it('without a token, and to write without the scope', async () => {
    expect((await service.as.anonymous.post('/v1/properties').send(alder)).status).toBe(401)
    const reader = await service.as.app({ scopes: ['properties:read'] })
    expect((await reader.post('/v1/properties', alder)).status).toBe(403)
  })

  it('to an app it was not granted to, on every address of it, with the answer for one that is not there', async () => {
    const [theirs, other] = [await taken(), await taken()]
    const granted = await service.as.app({ homes: [theirs.id] })
    const missing = '019a0000-0000-7000-8000-000000000000'
    for (const part of ['', '/standing', '/history', '/people', '/ownership', '/events']) {
      expect((await granted.get(`/v1/properties/${theirs.id}${part}`)).status, part).toBe(200)
      const [foreign, none] = [
        await granted.get(`/v1/properties/${other.id}${part}`),
        await granted.get(`/v1/properties/${missing}${part}`),
      ]
      expect([foreign.status, none.status], part).toEqual([404, 404])
      const { instance: _, requestId: __, ...said } = foreign.body
      expect(none.body, part).toMatchObject(said)
    }
    const writes = [
      granted.patch(`/v1/properties/${other.id}`, { note: 'x', reason: 'x' }, 1),
      granted.post(`/v1/properties/${other.id}/events`, { kind: 'addition' }),
      granted.post(`/v1/properties/${other.id}/test-locations`, { name: 'Den', floor: 0 }),
      granted.post(`/v1/properties/${other.id}/ownership`, { customerId: missing, because: 'sale' }),
    ]
    for (const answer of await Promise.all(writes)) expect(answer.status).toBe(404)
    expect((await granted.get('/v1/properties')).body.items.map((one: { id: string }) => one.id)).toEqual([theirs.id])
  })

  it('with every fault named where it stands', async () => {
    const answer = await app.post('/v1/properties', {
      ...alder,
      street: '',
      country: 'USA',
      yearBuilt: 20,
      buildingUse: 'castle',
      owner: 'me',
      testLocations: [{ name: 'Den', floor: 900 }],
    })
    expect(answer.status).toBe(422)
    const pointers = answer.body.errors.map((fault: { pointer: string }) => fault.pointer).sort()
    expect(pointers).toEqual([
      '#/buildingUse',
      '#/country',
      '#/owner',
      '#/street',
      '#/testLocations/0/floor',
      '#/yearBuilt',
    ])
  })

  it('when its zone can not be told, and asks for it', async () => {
    const vigo = { street: 'Rúa 1', city: 'Vigo', country: 'ES' }
    const asked = await app.post('/v1/properties', vigo)
    expect(asked.body.errors).toMatchObject([{ pointer: '#/zone', code: 'zone-unknown' }])
    const told = await app.post('/v1/properties', { ...vigo, zone: 'Europe/Madrid' })
    expect(told.body).toMatchObject({ zone: 'Europe/Madrid', zoneSource: 'given', jurisdiction: 'ES' })
  })

  it('with an owner nobody knows', async () => {
    const answer = await app.post('/v1/properties', { ...alder, ownerId: '019a0000-0000-7000-8000-000000000000' })
    expect(answer.body.errors).toMatchObject([{ pointer: '#/ownerId', code: 'unknown-reference' }])
  })
})

describe('a home', () => {
  it('is kept with zone and jurisdiction found from its address, and stands at once', async () => {
    const answer = await app.post('/v1/properties', {
      ...alder,
      foundationAreas: [{ kind: 'basement', name: 'Basement' }],
      testLocations: [{ name: 'Family room', floor: -1, livedIn: true }],
    })
    expect(answer.status).toBe(201)
    expect(answer.headers.etag).toBe('"1.1"')
    expect(answer.body).toMatchObject({
      zone: 'America/Chicago',
      zoneSource: 'found',
      jurisdiction: 'US-MN',
      buildingUse: 'home',
      yearBuilt: null,
      foundationAreas: [{ kind: 'basement', name: 'Basement', areaM2: null }],
      testLocations: [{ name: 'Family room', floor: -1, livedIn: true, roomKind: 'room' }],
      standing: { outcome: 'undetermined', version: 1 },
    })
    const standing = await app.get(`/v1/properties/${answer.body.id}/standing`)
    expect(standing.body.verdict).toMatchObject({ outcome: 'undetermined', reason: 'never-tested' })
    expect(standing.body.obligations[0]).toMatchObject({ kind: 'initial-test' })
    const again = await app
      .get(`/v1/properties/${answer.body.id}/standing`)
      .set('if-none-match', standing.headers.etag!)
    expect(again.status).toBe(304)
  })

  it('moved to another address by a correction is located anew, and stands by the rules there', async () => {
    const { id } = await taken()
    const toronto = { street: '3 Elm', city: 'Toronto', region: 'ON', postcode: 'm5v2t6', country: 'CA' }
    const moved = await app.patch(`/v1/properties/${id}`, { ...toronto, reason: 'wrong country' }, '1.1')
    expect(moved.body).toMatchObject({
      zone: 'America/Toronto',
      jurisdiction: 'CA-ON',
      postcode: 'M5V 2T6',
      version: 2,
    })
    expect((await app.get(`/v1/properties/${id}/standing`)).body).toMatchObject({ jurisdiction: 'CA-ON' })
    const [revision] = (await app.get(`/v1/properties/${id}/history`)).body.items
    expect(revision).toMatchObject({
      noun: 'property',
      version: 2,
      reason: 'wrong country',
      byKind: 'app',
      was: { city: 'Duluth', zone: 'America/Chicago', jurisdiction: 'US-MN' },
    })
  })

  it('keeps a zone and a jurisdiction that were given by hand when its address is corrected', async () => {
    const { id } = await taken({ zone: 'America/Denver', jurisdiction: 'US' })
    const moved = await app.patch(`/v1/properties/${id}`, { city: 'Rochester', postcode: '55901', reason: 'x' }, '1.1')
    expect(moved.body).toMatchObject({ zone: 'America/Denver', jurisdiction: 'US' })
  })

  it('tells how to get in only with contacts:read', async () => {
    const { id } = await taken({ gateCode: '4711', dogNote: 'bites', accessNote: 'key left', note: 'n' })
    const reader = await service.as.app({ scopes: ['properties:read'] })
    const shown = (await reader.get(`/v1/properties/${id}`)).body
    for (const field of ['gateCode', 'dogNote', 'accessNote', 'note']) expect(shown).not.toHaveProperty(field)
    expect((await app.get(`/v1/properties/${id}`)).body.gateCode).toBe('4711')
  })

  it('is not overwritten unseen', async () => {
    const { id } = await taken()
    await app.patch(`/v1/properties/${id}`, { note: 'first', reason: 'x' }, 1)
    expect((await app.patch(`/v1/properties/${id}`, { note: 'second', reason: 'x' }, 1)).status).toBe(412)
    expect((await app.agent.patch(`/v1/properties/${id}`).send({ note: 'x', reason: 'x' })).status).toBe(428)
  })

  it('once voided owes nothing, whatever is reckoned later', async () => {
    const { id } = await taken({ street: '98 Gone Road' })
    const open = 'select kind from obligation where property_id = $1 and fulfilled_at is null'
    const owed = async () => (await service.db.pool.query<{ kind: string }>(open, [id])).rows.map(({ kind }) => kind)
    expect(await owed()).toEqual(['initial-test'])
    await voiding(`/v1/properties/${id}`, '1.1')
    expect(await owed()).toEqual([])
    const later = service.clock.now() + 400 * 86_400_000
    await service.db.transaction(tx => restandHomes(tx, { now: later }, [id]))
    expect(await owed()).toEqual([])
  })

  it('once voided is listed no more and takes nothing in', async () => {
    const { id } = await taken({ street: '99 Gone Road' })
    expect((await voiding(`/v1/properties/${id}`, '1.1')).body).toMatchObject({
      voidReason: 'entered twice',
      version: 2,
    })
    const listed = (await app.get('/v1/properties?limit=200')).body.items
    expect(listed.map((one: { id: string }) => one.id)).not.toContain(id)
    expect((await app.post(`/v1/properties/${id}/events`, { kind: 'addition' })).status).toBe(404)
    expect((await app.get('/v1/search?q=99 gone road')).body.items).toEqual([])
  })
})

describe('the parts of a home', () => {
  it('move its version and re-stand it', async () => {
    const { id } = await taken()
    const room = await app.post(`/v1/properties/${id}/test-locations`, { name: 'Den', floor: 0 })
    expect(room.status).toBe(201)
    expect((await app.get(room.headers.location!)).body).toEqual(room.body)
    const corrected = await app.patch(room.headers.location!, { livedIn: true, reason: 'asked' }, 1)
    expect(corrected.body).toMatchObject({ name: 'Den', livedIn: true, version: 2 })
    expect((await app.patch(room.headers.location!, { floor: 1, reason: 'x' }, 1)).status).toBe(412)
    const area = await app.post(`/v1/properties/${id}/foundation-areas`, { kind: 'slab', name: 'Slab' })
    expect((await app.get(`/v1/properties/${id}`)).body).toMatchObject({ version: 4 })
    expect((await voiding(area.headers.location!, 1)).status).toBe(204)
    expect((await voiding(room.headers.location!, 2)).status).toBe(204)
    expect((await app.get(room.headers.location!)).status).toBe(404)
    expect((await app.get(`/v1/properties/${id}`)).body).toMatchObject({ foundationAreas: [], testLocations: [] })
  })

  it('of another home are unknown here', async () => {
    const [here, there] = [await taken(), await taken()]
    const area = (await app.post(`/v1/properties/${there.id}/foundation-areas`, { kind: 'slab', name: 'S' })).body
    const answer = await app.post(`/v1/properties/${here.id}/test-locations`, {
      name: 'Den',
      floor: 0,
      foundationAreaId: area.id,
    })
    expect(answer.body.errors).toMatchObject([{ pointer: '#/foundationAreaId', code: 'unknown-reference' }])
  })
})

describe('a change of owner', () => {
  const linked = async (propertyId: string, customerId: string) => {
    const { rows } = await service.db.pool.query(
      `insert into homeowner_link (id, property_id, customer_id, purpose, created_at, expires_at)
       values (gen_random_uuid(), $1, $2, 'reminder', $3, $4) returning id`,
      [propertyId, customerId, new Date(service.clock.now()), new Date(service.clock.now() + 4e10)],
    )
    return rows[0].id as string
  }
  const sold = (id: string, body: object) => app.post(`/v1/properties/${id}/ownership`, { because: 'sale', ...body })

  it('ends the old ownership the day the new one begins, closes the old owner’s links, keeps the sale', async () => {
    const [old, fresh] = [await aCustomerRow(service.db.pool), await aCustomerRow(service.db.pool, { name: 'Bo' })]
    const { id } = await taken({ ownerId: old.id, ownerSince: '2015-06-01' })
    const link = await linked(id, old.id)
    const answer = await sold(id, { customerId: fresh.id, onDay: '2026-02-20' })
    expect(answer.status).toBe(201)
    const owners = (await app.get(`/v1/properties/${id}/ownership`)).body.items
    expect(owners).toMatchObject([
      { customerId: fresh.id, name: 'Bo', fromOn: '2026-02-20', untilOn: null },
      { customerId: old.id, fromOn: '2015-06-01', untilOn: '2026-02-20' },
    ])
    const { rows } = await service.db.pool.query('select revoked_at from homeowner_link where id = $1', [link])
    expect(rows[0].revoked_at).toBe(service.clock.now())
    // Midnight in Duluth on the day, six hours after midnight UTC.
    expect((await app.get(`/v1/properties/${id}/events`)).body.items).toMatchObject([
      { kind: 'sale', at: '2026-02-20T06:00:00.000Z' },
    ])
  })

  it('that is a correction replaces an owner who never was one, and is no sale', async () => {
    const [wrong, right] = [await aCustomerRow(service.db.pool), await aCustomerRow(service.db.pool)]
    const { id } = await taken({ ownerId: wrong.id, ownerSince: '2015-06-01' })
    expect((await sold(id, { customerId: right.id, because: 'correction' })).status).toBe(201)
    const owners = (await app.get(`/v1/properties/${id}/ownership`)).body.items
    expect(owners).toMatchObject([{ customerId: right.id, fromOn: '2015-06-01' }])
    expect(owners).toHaveLength(1)
    expect((await app.get(`/v1/properties/${id}/events`)).body.items).toEqual([])
  })

  it('long ago is kept as roughly as it is known', async () => {
    const owner = await aCustomerRow(service.db.pool)
    const { id } = await taken()
    const answer = await sold(id, { customerId: owner.id, roughly: '2011-21' })
    expect(answer.body).toMatchObject({ fromOn: '2011-03-01', roughly: '2011-21' })
    expect((await app.get(`/v1/properties/${id}/events`)).body.items).toMatchObject([{ at: null, roughly: '2011-21' }])
  })

  it('is refused on a day to come, before the last one, to the owner of today, and to nobody', async () => {
    const [old, fresh] = [await aCustomerRow(service.db.pool), await aCustomerRow(service.db.pool)]
    const { id } = await taken({ ownerId: old.id, ownerSince: '2015-06-01' })
    const refusals: [object, string, string][] = [
      [{ customerId: fresh.id, onDay: '2026-03-03' }, '#/onDay', 'future'],
      [{ customerId: fresh.id, onDay: '2015-06-01' }, '#/onDay', 'order'],
      [{ customerId: fresh.id, onDay: '2020-01-01', roughly: '2020' }, '#/roughly', 'two-dates'],
      [{ customerId: old.id }, '#/customerId', 'same-owner'],
      [{ customerId: '019a0000-0000-7000-8000-000000000000' }, '#/customerId', 'unknown-reference'],
    ]
    for (const [body, pointer, code] of refusals)
      expect((await sold(id, body)).body.errors, code).toMatchObject([{ pointer, code }])
    expect((await sold(id, { customerId: fresh.id, onDay: '2026-03-02' })).status).toBe(201)
  })
})

describe('people around a home', () => {
  it('come and go on a day, and are named only with contacts:read', async () => {
    const tenant = await aCustomerRow(service.db.pool, { name: 'Ida Tenant' })
    const { id } = await taken()
    const added = await app.post(`/v1/properties/${id}/people`, { customerId: tenant.id, role: 'tenant' })
    expect(added.body).toMatchObject({ role: 'tenant', name: 'Ida Tenant', untilOn: null })
    const reader = await service.as.app({ scopes: ['properties:read'] })
    const [shown] = (await reader.get(`/v1/properties/${id}/people`)).body.items
    for (const field of ['name', 'email', 'phone']) expect(shown).not.toHaveProperty(field)
    const path = `/v1/properties/${id}/people/${added.body.id}`
    const end = (version: number) =>
      app.agent.post(`${path}/end`).set('if-match', `"${version}"`).send({ untilOn: '2026-03-01' })
    expect((await end(1)).status).toBe(204)
    expect((await end(1)).status).toBe(412)
    expect((await app.get(path)).body).toMatchObject({ untilOn: '2026-03-01', version: 2 })
  })
})

describe('an event of a home', () => {
  it('is kept, counts, and counts no more once voided', async () => {
    const { id } = await taken()
    const made = await app.post(`/v1/properties/${id}/events`, { kind: 'addition', at: '2026-02-01T09:00:00-06:00' })
    expect(made.body).toMatchObject({ kind: 'addition', at: '2026-02-01T15:00:00.000Z', version: 1 })
    expect((await voiding(made.headers.location!, 1, 'next door')).body).toMatchObject({ voidReason: 'next door' })
    expect((await voiding(made.headers.location!, 2)).status).toBe(404)
  })

  it('is refused when it is still to come, or dated twice', async () => {
    const { id } = await taken()
    const path = `/v1/properties/${id}/events`
    const later = await app.post(path, { kind: 'addition', at: '2026-03-02T15:00:01Z' })
    expect(later.body.errors).toMatchObject([{ pointer: '#/at', code: 'future' }])
    const twice = await app.post(path, { kind: 'addition', at: '2026-03-02T15:00:00Z', roughly: '2026' })
    expect(twice.body.errors).toMatchObject([{ pointer: '#/roughly', code: 'two-dates' }])
  })
})

describe('the list of homes', () => {
  it('is walked whole by its cursor, by outcome and by due day', async () => {
    const made = await Promise.all(Array.from({ length: 7 }, (_, n) => taken({ street: `${n} Walk Way` })))
    const seen: string[] = []
    let next: string | null = '/v1/properties?outcome=undetermined&limit=3'
    while (next !== null) {
      const answer: { body: { items: { id: string }[]; next: string | null } } = await app.get(next)
      seen.push(...answer.body.items.map(one => one.id))
      next = answer.body.next && `/v1/properties?outcome=undetermined&limit=3&cursor=${answer.body.next}`
    }
    expect(new Set(seen).size).toBe(seen.length)
    expect(made.every(home => seen.includes(home.id))).toBe(true)
    const [{ nextDueOn }] = [(await app.get(`/v1/properties/${made[0].id}`)).body.standing]
    const due = async (before: string) =>
      (await app.get(`/v1/properties?dueBefore=${before}&limit=200`)).body.items.map((one: { id: string }) => one.id)
    expect(await due(nextDueOn)).not.toContain(made[0].id)
    expect(await due('2027-01-01')).toContain(made[0].id)
  })
})
