import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'
import { manyHomes, type Remembered } from './many-homes.ts'

let service: TestApp
let homes: Remembered[]

beforeAll(async () => {
  service = await buildTestApp()
  homes = await manyHomes(service.db.pool, 60)
})
afterAll(() => service.close())

describe('GET /v1/search', () => {
  it('refuses who has no token or no scope, an empty text, and parameters it does not know', async () => {
    expect((await service.as.anonymous.get('/v1/search?q=elm')).status).toBe(401)
    const stranger = await service.as.app({ scopes: ['tests:read'] })
    expect((await stranger.get('/v1/search?q=elm')).status).toBe(403)
    const app = await service.as.app()
    expect((await app.get('/v1/search?q=')).status).toBe(400)
    expect((await app.get('/v1/search')).status).toBe(400)
    expect((await app.get('/v1/search?q=elm&page=2')).status).toBe(400)
  })

  it('answers with the home, what matched, and whether the text is the whole of a code', async () => {
    const app = await service.as.app()
    const home = homes[9]!
    const [hit] = (await app.get(`/v1/search?q=${home.tag}`)).body.items
    expect(hit).toMatchObject({ propertyId: home.propertyId, exact: true, matched: [{ kind: 'tag', text: home.tag }] })
    expect(hit.address).toContain(home.street)
  })

  it('finds by people only with contacts:read', async () => {
    const home = homes[3]!
    const phone = home.phone.slice(-7)
    const full = await service.as.app()
    const bare = await service.as.app({ scopes: ['properties:read'] })
    const idsOf = (answer: { body: { items: { propertyId: string }[] } }) =>
      answer.body.items.map(one => one.propertyId)
    expect(idsOf(await full.get(`/v1/search?q=${phone}`))).toContain(home.propertyId)
    expect(idsOf(await bare.get(`/v1/search?q=${phone}`))).toEqual([])
  })

  it('survives texts that were never meant for it', async () => {
    const app = await service.as.app()
    for (const typed of [
      "'; drop table property; --",
      '%_%',
      '\\',
      '((((',
      'a'.repeat(200),
      'م'.repeat(50),
      '🏠🏠🏠 elm',
    ])
      expect((await app.get('/v1/search').query({ q: typed })).status, typed).toBe(200)
  })
})
