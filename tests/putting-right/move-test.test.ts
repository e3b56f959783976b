import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Act } from '../../src/platform/db/record-write.ts'
import { foreseen, putRight, undo } from '../../src/putting-right/put-right.ts'
import type { Program } from '../support/actors.ts'
import { aLocationRow, aPropertyRow, type Row } from '../support/rows.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'

let service: TestApp
let app: Program
let act: Act
beforeAll(async () => {
  service = await buildTestApp()
  app = await service.as.app()
  act = { actor: { kind: 'operator', id: null }, now: service.clock.now(), requestId: 'rig' }
})
afterAll(() => service.close())

const keptText = async (home: Row) =>
  (await service.db.pool.query('select body from standing where property_id = $1', [home.id])).rows[0]?.body as string

const aTestAt = async (home: Row, room: Row, value: string) => {
  const answer = await app.post(`/v1/properties/${home.id}/tests`, {
    purpose: 'pre-mitigation',
    method: 'activated-charcoal',
    setAt: '2026-01-10T15:00:00Z',
    pickedUpAt: '2026-01-13T15:00:00Z',
    resultInAt: '2026-01-13T15:00:00Z',
    exposures: [
      {
        locationId: room.id,
        startAt: '2026-01-10T15:00:00Z',
        stopAt: '2026-01-13T15:00:00Z',
        result: { value, unit: 'pCi/L' },
      },
    ],
  })
  expect(answer.status, answer.text).toBe(201)
  return answer.body.test.id as string
}

describe('a test entered for the neighbour', () => {
  it('is foreseen to the byte, goes to its home with its room, and undone leaves both homes as they were', async () => {
    const wrong = await aPropertyRow(service.db.pool)
    const right = await aPropertyRow(service.db.pool)
    const room = await aLocationRow(service.db.pool, wrong)
    const test = await aTestAt(wrong, room, '6.1')
    await app.get(`/v1/properties/${right.id}/standing`)
    const asked = { kind: 'move', noun: 'test', id: test, intoId: right.id, reason: 'wrong door' } as const

    const shown = await foreseen(service.db, act, asked)
    const before = await keptText(wrong)
    const { correction, tag } = await service.db.transaction(tx => putRight(tx, act, { ...asked, tag: shown.tag }))
    expect(tag).toBe(shown.tag)
    expect(correction.standings).toEqual(shown.correction.standings)
    expect(correction.standings.map(home => home.before.verdict.outcome)).not.toEqual(
      correction.standings.map(home => home.after.verdict.outcome),
    )
    const moved = await app.get(`/v1/tests/${test}`)
    expect(moved.body).toMatchObject({ propertyId: right.id })

    await service.db.transaction(tx => undo(tx, act, correction.id, 'it was right'))
    expect(await keptText(wrong)).toBe(before)
    expect((await app.get(`/v1/tests/${test}`)).body).toMatchObject({ propertyId: wrong.id })
  })
})
