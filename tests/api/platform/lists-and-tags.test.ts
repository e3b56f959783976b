import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Program } from '../../support/actors.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

type Page = { items: { name: string }[]; next: string | null }

let t: TestApp
let app: Program
beforeAll(async () => {
  t = await buildTestApp()
  app = await t.as.app()
  for (const name of ['Ada', 'Ben', 'Cy', 'Dot', 'Eve']) await app.post('/v1/customers', { name }).expect(201)
})
afterAll(() => t.close())

describe('B06, B07: a list', () => {
  it('is walked by cursor, each row once, and ends with next null', async () => {
    const names: string[] = []
    let path: string | null = '/v1/customers?limit=2'
    while (path) {
      const { body }: { body: Page } = await app.get(path).expect(200)
      names.push(...body.items.map(item => item.name))
      path = body.next && `/v1/customers?limit=2&cursor=${encodeURIComponent(body.next)}`
    }
    expect(names).toEqual(['Ada', 'Ben', 'Cy', 'Dot', 'Eve'])
  })

  it('links to the next page by the public address, whatever Host says', async () => {
    const answer = await app.get('/v1/customers?limit=2').set('host', 'evil.example').expect(200)
    const next = /<([^>]+)>; rel="next"/.exec(answer.headers.link ?? '')?.[1] ?? ''
    expect(next.startsWith(`${t.url}/v1/customers?limit=2&cursor=`)).toBe(true)
    const { body } = await app.get(next.slice(t.url.length)).expect(200)
    expect(body.items.map((item: { name: string }) => item.name)).toEqual(['Cy', 'Dot'])
  })

  it('refuses a cursor that was made for other filters, or changed', async () => {
    const { body } = await app.get('/v1/customers?limit=2').expect(200)
    await app.get(`/v1/customers?limit=2&name=a&cursor=${body.next}`).expect(400)
    await app.get(`/v1/customers?limit=2&cursor=x${body.next}`).expect(400)
  })
})

describe('B03: versions', () => {
  const make = async () => (await app.post('/v1/customers', { name: 'Flo' }).expect(201)).headers.location as string

  it('answers 304 without a body to whoever has the version, to HEAD too', async () => {
    const path = await make()
    const { headers } = await app.get(path).expect(200)
    for (const ask of [app.get(path), app.agent.head(path)]) {
      const answer = await ask.set('if-none-match', headers.etag!).expect(304)
      expect(answer.text ?? '').toBe('')
      expect(answer.headers.etag).toBe(headers.etag)
    }
    await app.get(path).set('if-none-match', '"99"').expect(200)
  })

  it('HEAD has the headers of GET', async () => {
    const path = await make()
    const [get, head] = [await app.get(path).expect(200), await app.agent.head(path).expect(200)]
    expect(head.headers.etag).toBe(get.headers.etag)
    expect(head.headers['content-type']).toBe(get.headers['content-type'])
  })

  it('changes only the version that If-Match names: 428 without, 400 for none of ours, 412 for an old one', async () => {
    const path = await make()
    const change = (ifMatch?: string) => {
      const ask = app.agent.patch(path).send({ name: 'Gus', reason: 'misheard' })
      return ifMatch === undefined ? ask : ask.set('if-match', ifMatch)
    }
    await change().expect(428)
    await change('"x"').expect(400)
    await change('"2"').expect(412)
    await change('"1"').expect(200)
    const refused = await change('"1"').expect(412)
    expect(refused.headers.etag).toBe('"2"')
    expect(refused.body.currentVersion).toBe(2)
  })
})

describe('B05: Idempotency-Key', () => {
  it('gives the first answer again, marked, for the same key and body; quoted or bare', async () => {
    const key = crypto.randomUUID()
    const first = await app.post('/v1/customers', { name: 'Hal' }, key).expect(201)
    const again = await app.post('/v1/customers', { name: 'Hal' }, `"${key}"`).expect(201)
    expect(first.headers['idempotency-replayed']).toBeUndefined()
    expect(again.headers['idempotency-replayed']).toBe('true')
    expect([again.text, again.headers.location, again.headers.etag]).toEqual([
      first.text,
      first.headers.location,
      first.headers.etag,
    ])
  })

  it('is forgotten after 72 h, and not a moment before', async () => {
    const key = crypto.randomUUID()
    const { headers } = await app.post('/v1/customers', { name: 'Ida' }, key).expect(201)
    t.clock.advance(72 * 3_600_000 - 1)
    const { rows } = await t.db.pool.query('select at from idempotency where key = $1', [key])
    expect(t.clock.now() - rows[0].at).toBe(72 * 3_600_000 - 1)
    await t.runJobs()
    expect((await t.db.pool.query('select 1 from idempotency where key = $1', [key])).rowCount).toBe(1)
    t.clock.advance(1)
    await t.runJobs()
    expect((await t.db.pool.query('select 1 from idempotency where key = $1', [key])).rowCount).toBe(0)
    expect(headers.location).toMatch(/^\/v1\/customers\//)
  })
})
