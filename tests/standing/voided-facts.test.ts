import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { canonicalText } from '../../src/domain/standing/canonical-text.ts'
import { readStanding } from '../../src/standing/read-standing.ts'
import type { Program } from '../support/actors.ts'
import { aLocationRow, aPropertyRow, type Row } from '../support/rows.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'

let service: TestApp
let app: Program
let home: Row
let room: Row

beforeAll(async () => {
  service = await buildTestApp()
  app = await service.as.app()
  home = await aPropertyRow(service.db.pool)
  room = await aLocationRow(service.db.pool, home)
  await recorded(3)
})
afterAll(() => service.close())

const started = '2026-02-10T15:00:00Z'
const recorded = (value: number) =>
  app.post(`/v1/properties/${home.id}/tests`, {
    purpose: 'pre-mitigation',
    method: 'activated-charcoal',
    setAt: '2026-02-01T15:00:00Z',
    pickedUpAt: '2026-02-04T15:00:00Z',
    closedSince: '2026-01-31T15:00:00Z',
    closedDuring: 'yes',
    resultInAt: '2026-02-08T15:00:00Z',
    exposures: [{ locationId: room.id, result: { value: `${value}.0`, unit: 'pCi/L' } }],
  })
const standing = async () => canonicalText((await readStanding(service.db, home.id))!.standing)
const voided = async (path: string) => {
  const { etag } = (await app.get(path)).headers
  return app.post(`${path}/void`, { reason: 'entered in error' }).set('if-match', etag as string)
}

describe('a fact that was voided', () => {
  it('is as if it had never been: a test', async () => {
    const before = await standing()
    const { id } = (await recorded(9)).body.test
    expect(await standing()).not.toBe(before)
    expect((await voided(`/v1/tests/${id}`)).status).toBe(200)
    expect(await standing()).toBe(before)
  })

  it('is as if it had never been: a system, and first one of its events', async () => {
    const before = await standing()
    const made = await app.post(`/v1/properties/${home.id}/systems`, {
      type: 'sub-slab-suction',
      installedBy: 'us',
      events: [{ kind: 'first-start', when: { at: started } }],
    })
    const { id } = made.body.system
    const withSystem = await standing()
    expect(withSystem).not.toBe(before)
    const altered = { kind: 'altered', when: { at: '2026-02-20T15:00:00Z' } }
    const { events, version } = (await app.post(`/v1/systems/${id}/events`, altered)).body.system
    expect(await standing()).not.toBe(withSystem)
    const event = events.find(({ kind }: { kind: string }) => kind === 'altered')
    await app
      .post(`/v1/systems/${id}/parts/event/${event.id}/void`, { reason: 'another system' })
      .set('if-match', `"${version}"`)
    expect(await standing()).toBe(withSystem)
    expect((await voided(`/v1/systems/${id}`)).status).toBe(200)
    expect(await standing()).toBe(before)
  })
})
