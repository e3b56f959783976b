import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person } from '../../support/actors.ts'
import { aCredential, aStaffMember } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let office: Person

// Noon on 1 March 2026 where the office stands.
const now = '2026-03-01T18:00:00Z'

beforeAll(async () => {
  service = await buildTestApp({ at: now })
  office = await service.as.office()
})
afterAll(() => service.close())

const kept = async (number: string) =>
  (await service.db.pool.query('select * from credential where number = $1', [number])).rows[0]
const seen = async () => (await (await service.as.app({ scopes: ['company:read'] })).get('/v1/company')).body
const licence = { kind: 'licence', issuer: 'State Radon Office', number: 'RT-1', expires: '12 May 2027' }

describe('licences and certificates are refused', () => {
  it('to crews', async () => {
    const crew = await service.as.crew()
    expect((await crew.get('/credentials')).status).toBe(403)
    expect((await crew.submit('/credentials', licence)).status).toBe(403)
  })

  it.each([
    ['without a number', { number: '' }, 'is needed'],
    ['of no known kind', { kind: 'badge' }, 'Invalid option'],
    ['until a day that is none', { expires: 'next spring' }, 'is no day'],
    ['of somebody unknown', { holder: '01890000-0000-7000-8000-000000000000' }, 'does not work here'],
  ])('%s, and the form comes back as typed', async (_, change, said) => {
    const answer = await office.submit('/credentials', { ...licence, ...change })
    expect([answer.status, answer.text.includes(said)]).toEqual([422, true])
    expect(answer.text).toContain('value="State Radon Office"')
  })

  it('when somebody changed them meanwhile', async () => {
    const { id } = await aCredential(service.db.pool, { number: 'OLD' })
    const change = { ...licence, number: 'OLD-2', _key: undefined }
    expect((await office.submit(`/credentials/${id}/change`, { ...change, version: 2 })).status).toBe(412)
    expect((await office.submit(`/credentials/${id}/change`, { ...change, version: 1 })).status).toBe(303)
  })
})

describe('a licence', () => {
  it('is recorded for the company or for a person, read by apps, and what it said before stays on record', async () => {
    const person = await aStaffMember(service.db.pool, { name: 'Noor Haas', roles: ['crew'] })
    expect((await office.submit('/credentials', licence)).status).toBe(303)
    const certificate = { kind: 'certificate', number: 'C-7', holder: person.id }
    expect((await office.submit('/credentials', certificate)).status).toBe(303)
    expect((await seen()).credentials).toContainEqual({
      ...{ holder: null, kind: 'licence', issuer: 'State Radon Office', number: 'RT-1', expiresOn: '2027-05-12' },
    })
    expect((await seen()).credentials).toContainEqual({
      ...{
        holder: { id: person.id, name: 'Noor Haas' },
        kind: 'certificate',
        issuer: '',
        number: 'C-7',
        expiresOn: null,
      },
    })
    const { id } = await kept('C-7')
    await office.submit(`/credentials/${id}/change`, {
      ...certificate,
      holder: undefined,
      expires: '2028-01-31',
      _key: undefined,
      version: 1,
    })
    const { rows } = await service.db.pool.query('select was from fact_revision where noun_id = $1', [id])
    expect([(await kept('C-7')).expires_on !== null, rows[0].was.expiresOn]).toEqual([true, null])
  })

  it('sent twice is recorded once', async () => {
    const form = { ...licence, number: 'TWICE', _key: '01890000-0000-7000-8000-0000000000aa' }
    for (let sent = 0; sent < 2; sent++) expect((await office.submit('/credentials', form)).status).toBe(303)
    const { rows } = await service.db.pool.query(`select 1 from credential where number = 'TWICE'`)
    expect(rows).toHaveLength(1)
  })

  it('is printed to the last day it holds and not on the day after; the tag of the company changes with it', async () => {
    const app = await service.as.app({ scopes: ['company:read'] })
    const before = (await app.get('/v1/company')).headers.etag
    await aCredential(service.db.pool, { number: 'LAST-DAY', issuer: 'MN', expires_on: '2026-03-01' })
    await aCredential(service.db.pool, { number: 'DAY-AFTER', issuer: 'MN', expires_on: '2026-02-28' })
    const answer = await app.get('/v1/company')
    expect(answer.body.licenceNumbers).toContain('MN LAST-DAY')
    expect(answer.body.licenceNumbers).not.toContain('MN DAY-AFTER')
    expect(answer.headers.etag).not.toBe(before)
  })

  it('is taken out with a reason and no longer shown', async () => {
    const { id } = await aCredential(service.db.pool, { number: 'GONE' })
    const path = `/credentials/${id}/void`
    const unreasoned = await office.submit(path, { reason: '', _key: undefined, version: 1 })
    expect([unreasoned.status, unreasoned.text.includes('value="GONE"')]).toEqual([422, true])
    expect((await office.submit(path, { reason: 'Given up', _key: undefined, version: 1 })).status).toBe(303)
    expect((await office.get('/credentials')).text).not.toContain('GONE')
    expect((await kept('GONE')).void_reason).toBe('Given up')
  })
})

describe('the ledger warns of an expiry', () => {
  const lines = async (person: Person) => (await person.get('/')).text

  it('as many days ahead as the company chose, from that day on: 60 days after 1 March 2026 is 30 April', async () => {
    await aCredential(service.db.pool, { number: 'WARNED', expires_on: '2026-04-30' })
    await aCredential(service.db.pool, { number: 'NOT-YET', expires_on: '2026-05-01' })
    const text = await lines(office)
    expect([text.includes('WARNED'), text.includes('NOT-YET')]).toEqual([true, false])
    await service.db.pool.query('update company set credential_warning_days = 61')
    expect(await lines(office)).toContain('NOT-YET')
  })

  it('to the office, not to crews, and goes on once it has run out', async () => {
    await aCredential(service.db.pool, { number: 'RUN-OUT', expires_on: '2025-12-31' })
    expect(await lines(office)).toMatch(/ran out on 31 Dec 2025[\s\S]*RUN-OUT/)
    expect(await lines(await service.as.crew())).not.toContain('RUN-OUT')
  })
})
