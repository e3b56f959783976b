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

const aPerson = async (over: object): Promise<string> => {
  const answer = await app.post('/v1/customers', { name: 'Ann Holm', ...over })
  expect(answer.status, answer.text).toBe(201)
  return answer.body.id
}
const markedPeople = /href="\/people"[^>]*aria-current/
let doors = 300
const aHome = async (ownerId: string): Promise<string> => {
  const answer = await app.post('/v1/properties', {
    ...{ street: `${++doors} Birch Street`, city: 'Duluth', region: 'MN', postcode: '55803', country: 'US', ownerId },
  })
  expect(answer.status, answer.text).toBe(201)
  return answer.body.id
}

describe('the office', () => {
  it('is shown entries that may be one person, side by side, chooses what stays, and sees it before it is done', async () => {
    const kept = await aPerson({ email: 'ann@pages.example', phone: '(218) 555-0161' })
    const doubled = await aPerson({ name: 'Anne Holm', phone: '(218) 555-0161', email: 'anne@pages.example' })
    const home = await aHome(doubled)
    const list = (await office.get('/people/doubles')).text
    expect(list).toContain(`/people/${doubled}/merge?with=${kept}`)
    expect(list).toContain('The phone is the same, and the names are almost alike.')
    expect((await office.get(`/people/${kept}`)).text).toContain(`/people/${doubled}/merge?with=${kept}`)
    const beside = (await office.get(`/people/${doubled}/merge?with=${kept}`)).text
    for (const said of ['ann@pages.example', 'anne@pages.example', 'Anne Holm']) expect(beside).toContain(said)

    const typed = { with: kept, email: 'other', reason: 'entered twice' }
    expect((await office.submit(`/people/${doubled}/merge`, { ...typed, reason: '' })).status).toBe(422)
    const shown = await office.submit(`/people/${doubled}/merge`, typed)
    expect(shown.status).toBe(200)
    expect(shown.text).toContain('Comes along: 1 ownership.')
    expect(shown.text).toMatch(markedPeople)
    expect(shown.text).toContain('Found by still: the former mail address ann@pages.example.')
    expect((await app.get(`/v1/customers/${doubled}`)).body.voidedAt).toBeNull()
    const tag = /name="tag" value="([^"]+)"/.exec(shown.text)?.[1]
    const key = /name="_key" value="([^"]+)"/.exec(shown.text)?.[1]
    const done = await office.submit(`/people/${doubled}/merge`, { ...typed, tag, _key: key })
    expect(done.status).toBe(303)

    expect((await app.get(`/v1/customers/${kept}`)).body).toMatchObject({
      name: 'Ann Holm',
      email: 'anne@pages.example',
    })
    expect((await office.get(`/people/${doubled}`)).text).toContain(`/people/${kept}`)
    expect((await office.get(`/people/${kept}`)).text).toContain('ann@pages.example')
    expect((await office.get('/people?q=anne')).text).toContain(`/people/${kept}`)
    const correction = String(done.headers.location)
    const timeline = (await office.get(`/homes/${home}`)).text
    expect(timeline).toContain(correction)
    expect(timeline).toContain('Merged into another person: Anne Holm')
    const { text } = await office.get(correction)
    expect(text).toContain('Merged into another person: Anne Holm')
    expect(text).toMatch(markedPeople)
    expect((await office.get('/people/doubles')).text).not.toContain(doubled)
  })

  it('is told that it is one entry, and of nobody that is not there', async () => {
    const one = await aPerson({})
    const missing = '019a0000-0000-7000-8000-000000000000'
    expect((await office.submit(`/people/${one}/merge`, { with: one, reason: 'x' })).status).toBe(422)
    expect((await office.submit(`/people/${one}/merge`, { with: missing, reason: 'x' })).status).toBe(404)
  })
})

describe('an app', () => {
  it('sees beforehand what merging changes, merges once for a key, and undoes it', async () => {
    const [kept, doubled] = [await aPerson({}), await aPerson({ phone: '(218) 555-0199' })]
    const asked = { kind: 'merge-customers', id: doubled, intoId: kept, reason: 'entered twice' }
    const shown = await app.post('/v1/corrections', { ...asked, dryRun: true })
    expect(shown.status, shown.text).toBe(200)
    const send = () => app.post('/v1/corrections', { ...asked, tag: shown.body.tag }, 'merge-once')
    const [first, again] = [await send(), await send()]
    expect([first.status, again.headers['idempotency-replayed']]).toEqual([201, 'true'])
    expect((await app.get(`/v1/customers/${kept}`)).body.phone).toBe('+12185550199')
    const undone = await app.agent
      .post(`/v1/corrections/${first.body.id}/undo`)
      .set('if-match', '"1"')
      .send({ reason: 'two people' })
    expect(undone.status, undone.text).toBe(200)
    expect((await app.get(`/v1/customers/${doubled}`)).body).toMatchObject({ voidedAt: null, mergedIntoId: null })
    expect((await app.get(`/v1/customers/${kept}`)).body.phone).toBeNull()
  })

  it('that sees some homes only merges nobody whose other homes it does not see', async () => {
    const [kept, doubled] = [await aPerson({}), await aPerson({})]
    const [hers, hidden] = [await aHome(kept), await aHome(doubled)]
    const seen = await aHome(doubled)
    const asked = { kind: 'merge-customers', id: doubled, intoId: kept, reason: 'entered twice' }
    const some = await service.as.app({ homes: [hers, seen] })
    expect((await some.post('/v1/corrections', asked)).status).toBe(404)
    const whole = await service.as.app({ homes: [hers, seen, hidden] })
    expect((await whole.post('/v1/corrections', asked)).status).toBe(201)
  })
})
