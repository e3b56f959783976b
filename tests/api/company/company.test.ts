import sharp from 'sharp'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person } from '../../support/actors.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let owner: Person

beforeAll(async () => {
  service = await buildTestApp()
  owner = await service.as.owner()
})
afterAll(() => service.close())

const settings = async () => (await service.db.pool.query('select * from company')).rows[0]
const version = async (): Promise<number> => (await settings()).version
const about = {
  name: 'Clearwell Mitigation',
  street: '12 Foundry Lane',
  city: 'Duluth',
  country: 'us',
  zone: 'America/Chicago',
  defaultUnit: 'pCi/L',
  defaultPressureUnit: 'Pa',
  letterhead: 'clearwell.example\nRegistered in Duluth',
}
const crews = { crewSees: 'without-contacts', crewDaysAfter: '3' }
const upload = async (bytes: Buffer, name = 'logo.png') =>
  owner.agent
    .post('/company/logo')
    .field('_csrf', owner.csrf)
    .field('version', String(await version()))
    .attach('logo', bytes, name)
const aPicture = (width: number, height: number) =>
  sharp({ create: { width, height, channels: 4, background: '#0a5' } })
    .png()
    .toBuffer()

describe('the company’s settings are refused', () => {
  it('to office and crew', async () => {
    for (const person of [await service.as.office(), await service.as.crew()]) {
      expect((await person.get('/company')).status).toBe(403)
      expect((await person.submit('/company', { ...about, version: 1 })).status).toBe(403)
    }
  })

  it.each([
    ['a zone that is none', { zone: 'Chicago' }, 'is no time zone'],
    ['a country that is no code', { country: 'USA' }, 'is no country code'],
    ['a reply address that is none', { replyTo: 'office at clearwell' }, 'is no mail address'],
    ['no name', { name: '' }, 'is needed'],
  ])('with %s, and the form comes back as typed', async (_, change, said) => {
    const answer = await owner.submit('/company', { ...about, ...change, _key: undefined, version: await version() })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain(said)
    expect(answer.text).toContain('clearwell.example\nRegistered in Duluth')
  })

  it.each([
    ['sending until before it begins', '/company/mails', { dailyMailCap: '50', sendFromHour: '18', sendToHour: '9' }],
    ['a cap of 0', '/company/mails', { dailyMailCap: '0', sendFromHour: '9', sendToHour: '18' }],
    ['366 days after the visit', '/company/crews', { ...crews, crewDaysAfter: '366' }],
    ['half a day after the visit', '/company/crews', { ...crews, crewDaysAfter: '0.5' }],
  ])('with %s', async (_, path, fields) => {
    const before = await settings()
    expect((await owner.submit(path, { ...fields, _key: undefined, version: before.version })).status).toBe(422)
    expect(await settings()).toEqual(before)
  })

  it('when somebody changed them meanwhile', async () => {
    const answer = await owner.submit('/company/crews', { ...crews, _key: undefined, version: (await version()) + 1 })
    expect(answer.status).toBe(412)
  })
})

describe('the company’s settings', () => {
  it('are saved form by form; the old values stay on record', async () => {
    const saved = await owner.submit('/company', {
      ...about,
      name: 'Clearwell Radon',
      _key: undefined,
      version: await version(),
    })
    expect(saved.status).toBe(303)
    expect(await settings()).toMatchObject({
      name: 'Clearwell Radon',
      country: 'US',
      default_pressure_unit: 'Pa',
      letterhead: 'clearwell.example\nRegistered in Duluth',
    })
    expect((await owner.submit('/company/crews', { ...crews, _key: undefined, version: await version() })).status).toBe(
      303,
    )
    expect(await settings()).toMatchObject({
      name: 'Clearwell Radon',
      crew_sees: 'without-contacts',
      crew_days_after: 3,
    })
    const { rows } = await service.db.pool.query(
      `select was from fact_revision where noun = 'company' order by version limit 1`,
    )
    expect(rows[0].was).toMatchObject({ name: 'Clearwell Mitigation' })
  })

  it('send a result on acceptance only when that box is ticked', async () => {
    const mails = { dailyMailCap: '50', sendFromHour: '8', sendToHour: '20', _key: undefined }
    await owner.submit('/company/mails', { ...mails, resultMailOnAcceptance: 'on', version: await version() })
    expect(await settings()).toMatchObject({ result_mail_on_acceptance: true, daily_mail_cap: 50 })
    await owner.submit('/company/mails', { ...mails, version: await version() })
    expect(await settings()).toMatchObject({ result_mail_on_acceptance: false })
  })

  it('release reminders and pause them', async () => {
    const press = async (released: string) =>
      (await owner.submit('/company/reminders', { released, _key: undefined, version: await version() })).status
    expect(await press('no')).toBe(303)
    expect((await settings()).reminders_released_at).toBeNull()
    expect((await owner.get('/company')).text).toContain('Reminders are paused')
    expect(await press('yes')).toBe(303)
    expect((await settings()).reminders_released_at).toBe(service.clock.now())
  })
})

describe('the logo', () => {
  it.each([
    ['a text that is called a picture', Buffer.from('<svg onload="alert(1)"/>')],
    ['a picture that breaks off', Buffer.from('89504e470d0a1a0a0000000d49484452', 'hex')],
  ])('is refused when it is %s', async (_, bytes) => {
    const answer = await upload(bytes)
    expect([answer.status, answer.text.includes('can not be read')]).toEqual([422, true])
    expect((await settings()).logo_sha256).toBeNull()
  })

  it('is refused above 5 MB', async () => {
    expect((await upload(Buffer.alloc((5 << 20) + 1))).status).toBe(413)
  })

  it('is made anew as PNG that fits 800 by 400, without what its file carried, and is there for mails', async () => {
    const carried = await sharp(await aPicture(1600, 400))
      .jpeg()
      .withMetadata({ exif: { IFD0: { Copyright: 'secret place' } } })
      .toBuffer()
    expect((await upload(carried, 'logo.jpg')).status).toBe(303)
    const answer = await service.as.anonymous.get('/company/logo').buffer(true)
    expect([answer.status, answer.headers['content-type']]).toEqual([200, 'image/png'])
    const made = await sharp(answer.body).metadata()
    expect([made.format, made.width, made.height, made.exif]).toEqual(['png', 800, 200, undefined])
    const again = await service.as.anonymous.get('/company/logo').set('if-none-match', answer.headers.etag!)
    expect(again.status).toBe(304)
  })

  it('is taken away again', async () => {
    await owner.submit('/company/no-logo', { _key: undefined, version: await version() })
    expect((await service.as.anonymous.get('/company/logo')).status).toBe(404)
  })
})

describe('GET /v1/company', () => {
  it('needs its scope', async () => {
    expect((await service.as.anonymous.get('/v1/company')).status).toBe(401)
    expect((await (await service.as.app({ scopes: ['tests:read'] })).get('/v1/company')).status).toBe(403)
  })

  it('says what the company says of itself and nothing of how it works, with a tag', async () => {
    const app = await service.as.app({ scopes: ['company:read'] })
    const answer = await app.get('/v1/company')
    expect(Object.keys(answer.body).sort()).toEqual([
      'cautionAdded',
      'city',
      'country',
      'credentials',
      'defaultPressureUnit',
      'defaultUnit',
      'electricity',
      'letterhead',
      'licenceNumbers',
      'logoUrl',
      'name',
      'phone',
      'postcode',
      'region',
      'replyTo',
      'street',
      'updatedAt',
      'version',
      'workingHours',
      'zone',
    ])
    expect((await app.get('/v1/company').set('if-none-match', answer.headers.etag!)).status).toBe(304)
  })
})
