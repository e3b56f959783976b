import { afterAll, beforeAll, expect, it } from 'vitest'
import type { Person, Program } from '../support/actors.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aWholeHome, type Home } from '../support/world.ts'

let service: TestApp
let app: Program
let office: Person
let home: Home
let other: Home
beforeAll(async () => {
  service = await buildTestApp()
  app = await service.as.app()
  office = await service.as.office()
  home = await aWholeHome(app, 'Alder')
  other = await aWholeHome(app, 'Birch')
})
afterAll(() => service.close())

const tagIn = (html: string) => /name="tag" value="([^"]+)"/.exec(html)![1]!
const moving = () => ({ intoId: other.property, reason: 'Entered for Fern & Sons next door' })

it('finds the home it belongs to, shows what would change, does it, and strikes it through where it was', async () => {
  const path = `/put-right/visit/${home.visit}/move`
  const found = await office.get(`${path}?q=Birch`)
  expect(found.text).toContain('1 Birch Street')
  const shown = await office.submit(path, moving())
  expect(shown.status).toBe(200)
  expect(shown.text).toContain('What would change')
  expect(shown.text).toContain('Whoever went on it comes along.')
  expect((await app.get(`/v1/visits/${home.visit}`)).body.propertyId).toBe(home.property)

  const done = await office.submit(path, { ...moving(), tag: tagIn(shown.text) })
  expect(done.status).toBe(303)
  expect((await app.get(`/v1/visits/${home.visit}`)).body.propertyId).toBe(other.property)
  const left = await office.get(`/homes/${home.property}`)
  expect(left.text).toMatch(
    /<del>Visit of [^<]+<\/del> <span>now at 1 Birch Street: Entered for Fern &amp; Sons next door/,
  )

  const correction = done.headers.location!
  const undoing = await office.submit(`${correction}/undo`, { reason: 'It was theirs' })
  expect(undoing.text).toContain('What undoing changes')
  const undone = await office.submit(`${correction}/undo`, { reason: 'It was theirs', tag: tagIn(undoing.text) })
  expect(undone.status).toBe(303)
  const list = await office.get('/corrections')
  expect(list.text).toMatch(/<del>Moved to another home: Visit of/)
  expect((await office.get(`/homes/${home.property}`)).text).toContain('undone: It was theirs')
})

it('shows anew what would change when that is something else by now, and does nothing', async () => {
  const path = `/put-right/callback/${home.callback}/void`
  const shown = await office.submit(path, { reason: 'Rang twice' })
  const { version } = (await app.get(`/v1/callbacks/${home.callback}`)).body
  await app.patch(`/v1/callbacks/${home.callback}`, { description: 'Louder', reason: 'said later' }, version)
  const late = await office.submit(path, { reason: 'Rang twice', tag: tagIn(shown.text) })
  expect(late.status).toBe(409)
  expect(late.text).toContain('Something changed since you looked')
  expect((await app.get(`/v1/callbacks/${home.callback}`)).body.voidedAt).toBeNull()
  const done = await office.submit(path, { reason: 'Rang twice', tag: tagIn(late.text) })
  expect(done.status).toBe(303)
})

it('leads from an emptied home to the one that stays, and from there back', async () => {
  const path = `/put-right/property/${home.property}/merge`
  const shown = await office.submit(path, { intoId: other.property, reason: 'Taken up twice' })
  const done = await office.submit(path, { intoId: other.property, reason: 'Taken up twice', tag: tagIn(shown.text) })
  expect(done.status).toBe(303)
  const emptied = await office.get(`/homes/${home.property}`)
  expect(emptied.text).toContain(`href="/homes/${other.property}"`)
  expect(emptied.text).toContain('Taken up twice')
  const same = await office.submit(`/put-right/property/${other.property}/merge`, {
    ...{ intoId: other.property, reason: 'Taken up twice' },
  })
  expect(same.status).toBe(422)
})

it('asks for a reason, and lets nobody of the crew in', async () => {
  const bare = await office.submit(`/put-right/test/${other.test}/void`, { reason: '' })
  expect(bare.status).toBe(422)
  const crew = await service.as.crew()
  for (const path of ['/corrections', `/put-right/test/${other.test}`, `/put-right/test/${other.test}/void`])
    expect((await crew.get(path)).status).toBe(403)
  expect((await crew.submit(`/put-right/test/${other.test}/void`, { reason: 'no' })).status).toBe(403)
})

it('is led to from where each record stands, and the link opens', async () => {
  const home = await aWholeHome(app, 'Larch')
  const leads: readonly (readonly [page: string, to: string])[] = [
    [`/kits/${home.kit}`, `/put-right/kit/${home.kit}`],
    [`/bookings/${home.booking}/move`, `/put-right/booking/${home.booking}`],
    [`/homes/${home.property}/events`, `/put-right/home_event/${home.event}`],
    [`/homes/${home.property}`, `/put-right/home_event/${home.event}`],
    [`/homes/${home.property}`, `/put-right/note/${home.note}`],
  ]
  for (const [from, to] of leads) {
    expect((await office.get(from)).text, from).toContain(`href="${to}"`)
    expect((await office.get(to)).status, to).toBe(200)
  }
})
