import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Program } from '../../support/actors.ts'
import { aLocationRow, aPropertyRow } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let app: Program

beforeAll(async () => {
  service = await buildTestApp()
  app = await service.as.app()
})
afterAll(() => service.close())

const monitor = { kind: 'monitor', method: 'continuous-monitor', serial: 'HM-1' }

describe('a device', () => {
  it('is refused without what it is known by, or calibrated backwards', async () => {
    expect((await app.post('/v1/devices', { kind: 'monitor', method: 'continuous-monitor' })).status).toBe(422)
    expect((await app.post('/v1/devices', { kind: 'kit-lot', method: 'alpha-track' })).status).toBe(422)
    const backwards = [{ calibratedOn: '2026-02-01', validUntil: '2026-01-01' }]
    const answer = await app.post('/v1/devices', { ...monitor, calibrations: backwards })
    expect(answer.body.errors).toMatchObject([{ pointer: '#/calibrations/0/validUntil' }])
  })

  it('is recorded, corrected with the version that was read, and voided', async () => {
    const made = await app.post('/v1/devices', monitor)
    expect(made.status).toBe(201)
    const { id } = made.body
    const patched = await app.patch(`/v1/devices/${id}`, { model: 'hourly', reason: 'label found' }, 1)
    expect(patched.body).toMatchObject({ model: 'hourly', serial: 'HM-1', version: 2 })
    expect((await app.patch(`/v1/devices/${id}`, { model: 'x', reason: 'late' }, 1)).status).toBe(412)
    const voided = await app.post(`/v1/devices/${id}/void`, { reason: 'sold' }).set('if-match', '"2"')
    expect(voided.body.voidReason).toBe('sold')
  })

  it('makes a test invalid by a calibration that ended before the test did, once the homes are stood anew', async () => {
    const home = await aPropertyRow(service.db.pool)
    const room = await aLocationRow(service.db.pool, home)
    const device = (await app.post('/v1/devices', { ...monitor, serial: 'HM-2' })).body
    const startAt = '2026-02-20T09:00:00-06:00'
    const values = Array.from({ length: 52 }, () => '2.0')
    const test = await app.post(`/v1/properties/${home.id}/tests`, {
      purpose: 'pre-mitigation',
      method: 'continuous-monitor',
      setAt: startAt,
      closedSince: '2026-02-19T09:00:00-06:00',
      closedDuring: 'yes',
      resultInAt: '2026-02-23T09:00:00-06:00',
      exposures: [
        { locationId: room.id, deviceId: device.id, record: { startAt, intervalMinutes: 60, unit: 'pCi/L', values } },
      ],
    })
    expect(test.body.test.evaluation.validity).not.toBe('invalid')
    const calibration = { calibratedOn: '2025-02-21', validUntil: '2026-02-21' }
    expect((await app.post(`/v1/devices/${device.id}/calibrations`, calibration)).status).toBe(201)
    const marked = await app.get(`/v1/properties/${home.id}/standing`)
    expect(marked.body.beingRecomputed).toBe(true)
    await service.runJobs()
    const { evaluation } = (await app.get(`/v1/tests/${test.body.test.id}`)).body
    expect(evaluation.findings).toEqual(expect.arrayContaining([expect.objectContaining({ code: 'calibration' })]))
    expect((await app.get(`/v1/properties/${home.id}/standing`)).body.beingRecomputed).toBe(false)
  })
})
