import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person, Program } from '../support/actors.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'

let service: TestApp
let app: Program
let office: Person
beforeAll(async () => {
  service = await buildTestApp()
  app = await service.as.app()
  office = await service.as.office()
})
afterAll(() => service.close())

const aPerson = async (name: string, phone: string): Promise<string> => {
  const answer = await app.post('/v1/customers', { name, phone })
  expect(answer.status, answer.text).toBe(201)
  return answer.body.id
}
const aCouple = async (phone: string): Promise<[string, string]> => [
  await aPerson('Ida Lund', phone),
  await aPerson('Per Lund', phone),
]
const told = (one: string, other: string, typed: object = {}) =>
  office.submit(`/people/${one}/apart`, { with: other, ...typed })
const suggested = (one: string, other: string) => `/people/${other}/merge?with=${one}`
const list = async () => (await office.get('/people/doubles')).text
const pageOf = async (id: string) => (await office.get(`/people/${id}`)).text

describe('a couple with one phone', () => {
  it('is suggested until the office says that they are two people; then it is said who did, when and why', async () => {
    const [ida, per] = await aCouple('(218) 555-0171')
    expect(await list()).toContain(suggested(ida, per))
    expect(await pageOf(per)).toContain(`/people/${per}/apart?with=${ida}`)

    const form = (await office.get(`/people/${per}/apart?with=${ida}`)).text
    expect(form).toContain('How that is known')
    const said = await told(per, ida, { reason: 'married, one phone' })
    expect([said.status, said.headers.location]).toEqual([303, `/people/${per}`])

    const pages = { list: await list(), ida: await pageOf(ida), per: await pageOf(per) }
    expect(pages.list).not.toContain(suggested(ida, per))
    for (const [where, text] of Object.entries(pages)) {
      expect(text, where).toContain(', because: married, one phone')
      expect(text, where).toMatch(/Said|two people, said/)
      expect(text, where).not.toContain(`/people/${per}/merge?with=${ida}`)
    }
    expect((await office.get(`/people/${ida}/merge`)).text).not.toContain(`/people/${ida}/merge?with=${per}`)
    expect((await office.get(`/people/${ida}/merge?with=${per}`)).text).toContain(
      'It was said that they are two people',
    )
  })

  it('is told apart once, whichever of them is named first and however often', async () => {
    const [ida, per] = await aCouple('(218) 555-0172')
    await Promise.all([told(ida, per, { reason: 'first' }), told(per, ida, { reason: 'second' }), told(ida, per)])
    const { rows } = await service.db.pool.query(
      'select count(*)::int as n from people_apart where one_id = any($1::uuid[])',
      [[ida, per]],
    )
    expect(rows).toEqual([{ n: 1 }])
  })

  it('is suggested again once it is taken back, from the list too', async () => {
    const [ida, per] = await aCouple('(218) 555-0173')
    await told(ida, per, { from: 'list' })
    const back = (await office.get(`/people/${per}/apart?with=${ida}&from=list`)).text
    expect(back).toContain('Take it back')
    const taken = await told(per, ida, { from: 'list', 'take-back': 'yes' })
    expect([taken.status, taken.headers.location]).toEqual([303, '/people/doubles'])
    expect(await list()).toContain(suggested(ida, per))
    expect(await pageOf(ida)).not.toContain('two people, said')
    await told(ida, per)
    expect(await list()).not.toContain(suggested(ida, per))
  })

  it('stays told apart where one of the two is made one with a second entry of theirs', async () => {
    const [ida, per] = await aCouple('(218) 555-0174')
    await told(ida, per)
    const again = await aPerson('Per Lundh', '(218) 555-0174')
    expect(await list()).toContain(suggested(ida, again))
    const asked = { kind: 'merge-customers', id: per, intoId: again, reason: 'entered twice' }
    const merged = await app.post('/v1/corrections', asked)
    expect(merged.status, merged.text).toBe(201)
    expect(await list()).not.toContain(suggested(ida, again))
    expect(await pageOf(again)).toContain('two people, said')
  })

  it('leaves a third entry of the same phone suggested beside each of them', async () => {
    const [ida, per] = await aCouple('(218) 555-0175')
    const third = await aPerson('P. Lund', '(218) 555-0175')
    await told(ida, per)
    const text = await list()
    expect(text).not.toContain(suggested(ida, per))
    expect(text).toContain(suggested(ida, third))
    expect(text).toContain(suggested(per, third))
  })
})

it('nobody is told apart from themselves, from nobody, or by an over-long reason', async () => {
  const [ida, per] = await aCouple('(218) 555-0176')
  expect((await told(ida, ida)).status).toBe(422)
  expect((await told(ida, '019a0000-0000-7000-8000-000000000000')).status).toBe(404)
  expect((await told(ida, 'no-id')).status).toBe(404)
  expect((await told(ida, per, { reason: 'x'.repeat(501) })).status).toBe(422)
  expect(await list()).toContain(suggested(ida, per))
})
