import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person } from '../../support/actors.ts'
import { eventually } from '../../support/eventually.ts'
import { aPropertyRow, type Row } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let owner: Person
let home: Row

beforeAll(async () => {
  service = await buildTestApp()
  owner = await service.as.owner()
  home = await aPropertyRow(service.db.pool, { street: '77 Slipway 50% Road' })
})
afterAll(() => service.close())

const press = (path: string, fields: object = {}) => owner.submit(path, { ...fields, _key: undefined })
const shown = (html: string, pattern: RegExp) => pattern.exec(html)?.[1] ?? ''
async function added(fields: object = {}) {
  const answer = await press('/apps/new', {
    name: 'Bookkeeping',
    scopes: ['properties:read'],
    homes: 'listed',
    ...fields,
  })
  const id = shown(answer.text, /href="\/apps\/([0-9a-f-]{36})"/)
  const auth: [string, string] = [
    shown(answer.text, /(app_[0-9a-f]{24})/),
    shown(answer.text, /(underslab_secret_[\w-]{43})/),
  ]
  return { answer, id, auth }
}
const jwt = /^[\w-]+\.[\w-]+\.[\w-]+$/
async function tokenFor(auth: [string, string]): Promise<string> {
  const answer = await service.as.anonymous
    .post('/oauth/token')
    .auth(...auth)
    .type('form')
    .send({ grant_type: 'client_credentials' })
  return answer.body.access_token
}
const read = (token: string, path: string) => service.as.anonymous.get(path).set('authorization', `Bearer ${token}`)

describe('apps are kept from', () => {
  it('office and crew, page and press', async () => {
    for (const person of [await service.as.office(), await service.as.crew()])
      for (const path of ['/apps', '/apps/new']) expect((await person.get(path)).status).toBe(403)
    const office = await service.as.office()
    expect((await office.submit('/apps/new', { name: 'x', scopes: 'company:read', homes: 'all' })).status).toBe(403)
  })

  it('an owner whose password was entered long ago', async () => {
    const late = await service.as.owner()
    service.clock.advance(16 * 60_000)
    expect((await late.get('/apps')).headers.location).toBe('/confirm?next=%2Fapps')
    owner = await service.as.owner()
  })
})

describe('an app', () => {
  it('needs a name and something it may do; the form comes back as filled in', async () => {
    const answer = await press('/apps/new', { name: '', homes: 'all' })
    expect(answer.status).toBe(422)
    for (const said of ['is needed', 'Tick at least one thing', 'value="all" id="field-homes-1" checked'])
      expect(answer.text).toContain(said)
  })

  it('shows its secret once; afterwards no page holds it', async () => {
    const { answer, id, auth } = await added()
    expect(answer.status).toBe(200)
    expect(auth[1]).not.toBe('')
    expect(await tokenFor(auth)).toMatch(jwt)
    for (const path of ['/apps', `/apps/${id}`]) expect((await owner.get(path)).text).not.toContain(auth[1])
  })

  it('sees no home until one is found and given to it, and none after it is taken away or the day has passed', async () => {
    const { id, auth } = await added()
    const token = await tokenFor(auth)
    const status = async () => (await read(token, `/v1/properties/${home.id}`)).status
    expect(await status()).toBe(404)
    expect((await owner.get(`/apps/${id}?find=50%25 Road`)).text).toContain('77 Slipway 50% Road')
    expect((await owner.get(`/apps/${id}?find=50_`)).text).toContain('No home has')
    await press(`/apps/${id}/grant`, { propertyId: home.id })
    expect(await status()).toBe(200)
    const grant = shown((await owner.get(`/apps/${id}`)).text, /name="grantId" value="([^"]+)"/)
    await press(`/apps/${id}/withdraw`, { grantId: grant })
    service.clock.advance(1)
    expect(await status()).toBe(404)
    await press(`/apps/${id}/grant`, { propertyId: home.id, until: '2026-03-05' })
    expect(await status()).toBe(200)
    service.clock.set('2026-03-06T05:59:59Z')
    expect((await read(await tokenFor(auth), `/v1/properties/${home.id}`)).status).toBe(200)
    service.clock.set('2026-03-06T06:00:00Z')
    expect((await read(await tokenFor(auth), `/v1/properties/${home.id}`)).status).toBe(404)
    owner = await service.as.owner()
  })

  it('loses a scope that is unticked within 5 s, also for tokens it has', async () => {
    const { id, auth } = await added({ scopes: ['company:read', 'policies:read'], homes: 'all' })
    const token = await tokenFor(auth)
    expect((await read(token, '/v1/company')).status).toBe(200)
    await press(`/apps/${id}`, { name: 'Bookkeeping', scopes: 'policies:read', homes: 'all', version: 1 })
    await eventually(async () => (await read(token, '/v1/company')).status === 403, 5_000)
  })

  it('is changed by the first of two; the later is told', async () => {
    const { id } = await added()
    const fields = { scopes: 'policies:read', homes: 'all', version: 1 }
    expect((await press(`/apps/${id}`, { ...fields, name: 'One' })).status).toBe(303)
    expect((await press(`/apps/${id}`, { ...fields, name: 'Two' })).status).toBe(412)
    expect((await owner.get(`/apps/${id}`)).text).toContain('<h1>One</h1>')
  })

  it('changes over by a second secret, and is shut out and let in again', async () => {
    const { id, auth } = await added()
    const made = await press(`/apps/${id}/secret`)
    const second: [string, string] = [auth[0], shown(made.text, /(underslab_secret_[\w-]{43})/)]
    expect([await tokenFor(auth), await tokenFor(second)].every(Boolean)).toBe(true)
    expect((await owner.get(`/apps/${id}`)).text).not.toContain('Make another secret')
    const first = shown((await owner.get(`/apps/${id}`)).text, /name="secretId" value="([^"]+)"/)
    await press(`/apps/${id}/end-secret`, { secretId: first })
    expect([Boolean(await tokenFor(auth)), Boolean(await tokenFor(second))]).toEqual([false, true])
    await press(`/apps/${id}/disable`, { version: 1 })
    expect(await tokenFor(second)).toBeUndefined()
    await press(`/apps/${id}/enable`, { version: 2 })
    expect(await tokenFor(second)).toMatch(jwt)
  })

  it('that does not exist is a 404 for every press', async () => {
    const nowhere = '019a0000-0000-7000-8000-000000000000'
    for (const [step, fields] of [
      ['secret', {}],
      ['disable', { version: 1 }],
      ['end-secret', { secretId: nowhere }],
      ['withdraw', { grantId: nowhere }],
      ['grant', { propertyId: home.id }],
    ] as const)
      expect([step, (await press(`/apps/${nowhere}/${step}`, fields)).status]).toEqual([step, 404])
  })
})
