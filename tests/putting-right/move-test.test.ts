import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Program } from '../support/actors.ts'
import { factsOf, putRightAsShown, standingsOf, undone } from '../support/putting-right.ts'
import { aLocationRow, aPropertyRow, type Row } from '../support/rows.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aWholeHome, day1, day3, type Home } from '../support/world.ts'

let service: TestApp
let app: Program
let mine: Home
let theirs: Home
beforeAll(async () => {
  service = await buildTestApp()
  app = await service.as.app()
  mine = await aWholeHome(app, 'Alder')
  theirs = await aWholeHome(app, 'Birch')
})
afterAll(() => service.close())

const reason = 'Entered for the neighbour'
const moveOf = (noun: string, id: string, intoId = theirs.property) => ({ kind: 'move', noun, id, intoId, reason })

async function aHighTestAt(home: Row, room: Row, more: object = {}) {
  const answer = await app.post(`/v1/properties/${home.id}/tests`, {
    purpose: 'pre-mitigation',
    method: 'activated-charcoal',
    setAt: day1,
    pickedUpAt: day3,
    resultInAt: day3,
    exposures: [{ locationId: room.id, startAt: day1, stopAt: day3, result: { value: '6.1', unit: 'pCi/L' } }],
    ...more,
  })
  expect(answer.status, answer.text).toBe(201)
  return answer.body.test
}

describe('a test entered for the neighbour', () => {
  it('is shown beforehand as it is then done, with the verdicts of both homes, and undone leaves both as they were', async () => {
    const wrong = await aPropertyRow(service.db.pool)
    const right = await aPropertyRow(service.db.pool)
    await app.patch(`/v1/properties/${right.id}`, { note: 'Blue door', reason }, 1)
    const test = await aHighTestAt(wrong, await aLocationRow(service.db.pool, wrong, { name: 'Den' }))
    const homes = [wrong.id, right.id]
    const before = { stand: await standingsOf(service, homes), facts: await factsOf(service) }

    const correction = await putRightAsShown(app, moveOf('test', test.id, right.id))
    const outcomes = new Map(
      correction.homes.map((home: { propertyId: string; before: object; after: object }) => [home.propertyId, home]),
    )
    expect(outcomes.get(wrong.id)).toMatchObject({
      changed: true,
      before: { outcome: 'needs-follow-up', compared: { value: '6.1' } },
      after: { outcome: 'undetermined', reason: 'never-tested', compared: null },
    })
    expect(outcomes.get(right.id)).toMatchObject({
      before: { outcome: 'undetermined' },
      after: { outcome: 'needs-follow-up', compared: { value: '6.1' } },
    })
    const moved = await app.get(`/v1/tests/${test.id}`)
    expect(moved.body).toMatchObject({ propertyId: right.id, exposures: [{ locationName: 'Den' }] })
    const office = await service.as.office()
    expect((await office.get(`/homes/${wrong.id}`)).text).toContain('Moved to another home: ')
    const cameHere = (await office.get(`/homes/${right.id}`)).text
    expect(cameHere).toContain('Moved here from another home: ')
    expect(cameHere).toContain(`because: ${reason}`)
    const rooms = await app.get(`/v1/properties/${right.id}`)
    expect(rooms.body.testLocations.map((room: { name: string }) => room.name)).toEqual(['Den'])
    await standingsOf(service, homes)

    expect((await undone(app, correction)).status).toBe(200)
    expect(await standingsOf(service, homes)).toEqual(before.stand)
    const facts = await factsOf(service)
    // The room that was made stays, struck through.
    expect({ ...facts, test_location: [] }).toEqual({ ...before.facts, test_location: [] })
    expect((await app.get(`/v1/properties/${right.id}`)).body.testLocations).toEqual([])
  })

  it('comes into the room of that name where there is one, whatever its letters’ case', async () => {
    const wrong = await aPropertyRow(service.db.pool)
    const right = await aPropertyRow(service.db.pool)
    const there = await aLocationRow(service.db.pool, right, { name: 'family ROOM' })
    const test = await aHighTestAt(wrong, await aLocationRow(service.db.pool, wrong, { name: 'Family room ' }))
    await putRightAsShown(app, moveOf('test', test.id, right.id))
    expect((await app.get(`/v1/tests/${test.id}`)).body.exposures[0].locationId).toBe(there.id)
  })

  it('leaves the system, the followed test and the visit behind, and says so', async () => {
    const facts = await factsOf(service)
    const answer = await putRightAsShown(app, moveOf('test', mine.test))
    expect(answer.told).toEqual(
      expect.arrayContaining([
        'The system it named stays behind: the test then names none.',
        'Who ordered, pays or may see it comes along.',
      ]),
    )
    expect((await app.get(`/v1/tests/${mine.test}`)).body).toMatchObject({
      systemId: null,
      propertyId: theirs.property,
    })
    expect((await undone(app, answer)).status).toBe(200)
    expect({ ...(await factsOf(service)), test_location: [] }).toEqual({ ...facts, test_location: [] })
  })

  it('is not undone once another test was made in the room that was made for it: the answer names it', async () => {
    const [wrong, right] = [await aPropertyRow(service.db.pool), await aPropertyRow(service.db.pool)]
    const test = await aHighTestAt(wrong, await aLocationRow(service.db.pool, wrong, { name: 'Attic' }))
    const correction = await putRightAsShown(app, moveOf('test', test.id, right.id))
    const room = (await app.get(`/v1/properties/${right.id}`)).body.testLocations[0]
    const later = await aHighTestAt(right, room)
    const refused = await undone(app, correction)
    expect(refused.status).toBe(409)
    expect(refused.body.errors.map((line: { detail: string }) => line.detail)).toEqual([
      'The room Attic has been measured in since.',
    ])
    await putRightAsShown(app, { kind: 'void', noun: 'test', id: later.id, reason })
    expect((await undone(app, correction)).status).toBe(200)
  })

  it('is not undone once it was moved on: the later correction is undone first', async () => {
    const [wrong, right] = [await aPropertyRow(service.db.pool), await aPropertyRow(service.db.pool)]
    const test = await aHighTestAt(wrong, await aLocationRow(service.db.pool, wrong))
    const first = await putRightAsShown(app, moveOf('test', test.id, right.id))
    const second = await putRightAsShown(app, moveOf('test', test.id, mine.property))
    const refused = await undone(app, first)
    expect(refused.status).toBe(409)
    const lines = refused.body.errors.map((line: { detail: string }) => line.detail)
    expect(lines).toContain('The test was moved to another home since.')
    expect((await undone(app, second)).status).toBe(200)
    expect((await undone(app, first)).status).toBe(200)
    expect((await undone(app, { ...first, version: 2 })).body.type).toContain('undone-already')
  })
})

describe('whatever is put right', () => {
  it('is refused where it would change something else by now than was shown', async () => {
    const [wrong, right] = [await aPropertyRow(service.db.pool), await aPropertyRow(service.db.pool)]
    const test = await aHighTestAt(wrong, await aLocationRow(service.db.pool, wrong))
    const shown = await app.post('/v1/corrections', { ...moveOf('test', test.id, right.id), dryRun: true })
    await app.patch(`/v1/tests/${test.id}`, { conditionsNote: 'Windy', reason: 'said later' }, test.version)
    const facts = await factsOf(service)
    const late = await app.post('/v1/corrections', { ...moveOf('test', test.id, right.id), tag: shown.body.tag })
    expect(late.status).toBe(409)
    expect(late.body.type).toContain('not-as-shown')
    expect(await factsOf(service)).toEqual(facts)
  })

  it('is done once by two who ask at the same moment', async () => {
    const [wrong, right] = [await aPropertyRow(service.db.pool), await aPropertyRow(service.db.pool)]
    const test = await aHighTestAt(wrong, await aLocationRow(service.db.pool, wrong))
    const both = await Promise.all([1, 2].map(() => app.post('/v1/corrections', moveOf('test', test.id, right.id))))
    expect(both.map(answer => answer.status).sort()).toEqual([201, 422])
    const done = both.find(answer => answer.status === 201)!.body
    const undoings = await Promise.all([1, 2].map(() => undone(app, done)))
    expect(undoings.map(answer => answer.status).sort()).toEqual([200, 409])
    await standingsOf(service, [wrong.id, right.id])
  })

  it('is nothing for an app that may not see both homes: the same 404 as for a home that is not there', async () => {
    const limited = await service.as.app({ homes: [mine.property] })
    const foreign = await limited.post('/v1/corrections', moveOf('test', mine.test))
    const missing = await limited.post('/v1/corrections', moveOf('test', mine.test, crypto.randomUUID()))
    expect([foreign.status, missing.status]).toEqual([404, 404])
    const theirTest = await limited.post('/v1/corrections', moveOf('test', theirs.test, mine.property))
    expect(theirTest.status).toBe(404)
    const both = await putRightAsShown(app, moveOf('callback', theirs.callback, mine.property))
    expect((await limited.get(`/v1/corrections/${both.id}`)).status).toBe(404)
    expect((await undone(limited, both)).status).toBe(404)
    expect((await undone(app, both)).status).toBe(200)
  })

  it.each(['system', 'visit', 'callback', 'home_event', 'kit', 'booking', 'note'] as const)(
    'a %s goes to the other home with what is its own, and comes back as it was',
    async noun => {
      const id = { ...mine, home_event: mine.event }[noun]
      const homes = [mine.property, theirs.property]
      const before = { stand: await standingsOf(service, homes), facts: await factsOf(service) }
      const correction = await putRightAsShown(app, moveOf(noun, id))
      expect(await factsOf(service)).not.toEqual(before.facts)
      await standingsOf(service, homes)
      expect((await undone(app, correction)).status).toBe(200)
      expect(await standingsOf(service, homes)).toEqual(before.stand)
      const facts = await factsOf(service)
      expect({ ...facts, test_location: [] }).toEqual({ ...before.facts, test_location: [] })
    },
  )
})
