import sharp from 'sharp'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { newId } from '../../../src/platform/ids.ts'
import type { Program } from '../../support/actors.ts'
import { aPropertyRow, aSystemRow, type Row } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let app: Program
let home: Row

beforeAll(async () => {
  service = await buildTestApp()
  app = await service.as.app()
  home = await aPropertyRow(service.db.pool)
})
afterAll(() => service.close())

const noted = (text: string, over: object = {}) =>
  app.post('/v1/notes', { subject: 'property', subjectId: home.id, text, ...over })
const picture = () =>
  sharp({ create: { width: 640, height: 480, channels: 3, background: '#385' } })
    .jpeg()
    .toBuffer()
const photographed = async (who: Program, bytes: Buffer, subjectId = home.id) =>
  who.agent
    .post('/v1/photos')
    .set('idempotency-key', newId())
    .field('subject', 'property')
    .field('subjectId', subjectId)
    .field('text', 'The riser')
    .attach('photo', bytes, 'riser.jpg')

describe('a note is refused', () => {
  it('without the scope, without words, and on a record that is not there or not theirs', async () => {
    const reader = await service.as.app({ scopes: ['notes:read'] })
    expect((await reader.post('/v1/notes', { subject: 'property', subjectId: home.id, text: 'x' })).status).toBe(403)
    expect((await noted('  ')).status).toBe(422)
    expect((await noted('x', { subjectId: newId() })).status).toBe(404)
    const stranger = await service.as.app({ homes: [(await aPropertyRow(service.db.pool)).id] })
    expect((await stranger.post('/v1/notes', { subject: 'property', subjectId: home.id, text: 'x' })).status).toBe(404)
    const { body } = await noted('for us')
    expect((await stranger.get(`/v1/notes/${body.id}`)).status).toBe(404)
    expect((await stranger.get('/v1/notes')).body.items).toEqual([])
  })
})

describe('a note', () => {
  it('stands on its record and its home, signed by who wrote it', async () => {
    const system = await aSystemRow(service.db.pool, home)
    const made = await noted('Fan hums', { subject: 'system', subjectId: system.id })
    expect(made.body).toMatchObject({
      propertyId: home.id,
      subject: 'system',
      text: 'Fan hums',
      by: 'Field tools',
      photo: false,
    })
    for (const query of [`propertyId=${home.id}`, `subject=system&subjectId=${system.id}`])
      expect((await app.get(`/v1/notes?${query}`)).body.items).toContainEqual(made.body)
  })

  it('is never rewritten, only struck through once, and stays readable', async () => {
    const { body } = await noted('Wrong house')
    const strike = () =>
      app.agent.post(`/v1/notes/${body.id}/void`).set('if-match', '"1"').send({ reason: 'other home' })
    expect((await strike()).body).toMatchObject({ text: 'Wrong house', voidReason: 'other home', version: 2 })
    expect((await strike()).status).toBe(412)
    expect((await app.get(`/v1/notes/${body.id}`)).headers.etag).toBe('"2"')
  })
})

describe('a photo', () => {
  it('is kept once however often its bytes come, and read back as JPEG by who may see the home', async () => {
    const bytes = await picture()
    const [first, second] = [await photographed(app, bytes), await photographed(app, bytes)]
    expect([first.status, second.status, first.body.photo]).toEqual([201, 201, true])
    const { rows } = await service.db.pool.query('select count(*)::int as files from stored_file')
    expect(rows).toEqual([{ files: 2 }])
    const read = await app.get(`/v1/notes/${first.body.id}/thumbnail`).buffer(true)
    expect(await sharp(read.body).metadata()).toMatchObject({ format: 'jpeg', width: 360, height: 270 })
    const stranger = await service.as.app({ homes: [] })
    expect((await stranger.get(`/v1/notes/${first.body.id}/photo`)).status).toBe(404)
    const { body } = await noted('no picture')
    expect((await app.get(`/v1/notes/${body.id}/photo`)).status).toBe(404)
  })

  it('is refused when it is none, or larger than 15 MB', async () => {
    expect((await photographed(app, Buffer.from('GIF89a'))).status).toBe(422)
    expect((await photographed(app, Buffer.alloc(15 * 1024 * 1024 + 1))).status).toBe(413)
  })
})
