import sharp from 'sharp'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { loadDemo } from '../../seed/load-demo.ts'
import { newId } from '../../src/platform/ids.ts'
import type { Person } from '../support/actors.ts'
import { anAssignment, aVisitRow } from '../support/rows.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'

let service: TestApp
let office: Person
let kestrel: string

beforeAll(async () => {
  service = await buildTestApp({ at: '2026-11-25T15:00:00Z', empty: true })
  await loadDemo(service.db, service.clock)
  office = await service.as.office()
  kestrel = await idOf('12 Kestrel Lane')
})
afterAll(() => service.close())

const one = async (text: string, values: unknown[] = []) => (await service.db.pool.query(text, values)).rows[0]
const idOf = async (street: string) => (await one('select id from property where street = $1', [street])).id as string
const statementsOf = async (work: () => PromiseLike<unknown>): Promise<number> => {
  const { pool } = service.db
  const query = pool.query
  let count = 0
  pool.query = ((...parameters: Parameters<typeof query>) => {
    count++
    return query.apply(pool, parameters)
  }) as typeof query
  try {
    await work()
  } finally {
    pool.query = query
  }
  return count
}

describe('pages of homes are refused', () => {
  it('to nobody in particular, who is sent to sign in', async () => {
    const answer = await service.as.anonymous.get(`/homes/${kestrel}`)
    expect([answer.status, answer.headers.location]).toEqual([
      303,
      `/sign-in?next=${encodeURIComponent(`/homes/${kestrel}`)}`,
    ])
  })

  it('to a crew not sent there, and to a crew that would change one', async () => {
    const crew = await service.as.crew()
    expect((await crew.get(`/homes/${kestrel}`)).status).toBe(404)
    const visit = await aVisitRow(service.db.pool, { id: kestrel }, { starts_at: new Date(service.clock.now()) })
    await anAssignment(service.db.pool, visit, { id: crew.id }, new Date(service.clock.now()))
    expect((await crew.get(`/homes/${kestrel}`)).status).toBe(200)
    expect((await crew.get('/homes')).text).not.toContain('48 Quarry Road')
    for (const path of [`/homes/${kestrel}/change`, '/homes/new', '/people'])
      expect((await crew.get(path)).status).toBe(403)
  })

  it('without the token of a form', async () => {
    const answer = await office.agent
      .post(`/homes/${kestrel}/events`)
      .type('form')
      .send({ kind: 'addition', _key: newId() })
    expect(answer.status).toBe(403)
  })
})

describe('the page of a home', () => {
  it('shows the section, how it stands, what is owed, who is around it and everything that happened', async () => {
    const { text, status } = await office.get(`/homes/${kestrel}`)
    expect(status).toBe(200)
    for (const words of [
      '12 Kestrel Lane in section',
      'Below the EPA action level of 4.0 pCi/L',
      'What is owed',
      'Della Birchwood',
      'Callback',
      'AF-0107',
    ])
      expect(text, words).toContain(words)
  })

  it('takes the same few statements however much happened there', async () => {
    const few = await statementsOf(() => office.get(`/homes/${kestrel}`))
    expect(few).toBeLessThanOrEqual(8)
    await service.db.pool.query(
      `insert into note (id, property_id, subject, subject_id, text, by_kind, at)
       select gen_random_uuid(), $1, 'property', $1, 'note ' || n, 'system', now() from generate_series(1, 200) n`,
      [kestrel],
    )
    expect(await statementsOf(() => office.get(`/homes/${kestrel}`))).toBe(few)
    await service.db.pool.query(`delete from note where text like 'note %'`)
  })

  it('strikes a voided fact through and says why', async () => {
    await office.submit(`/homes/${kestrel}/events`, { kind: 'addition', day: '1 May 2026', note: 'Sun room' })
    const event = await one(`select id, version from home_event where note = 'Sun room'`)
    const reason = { [`${event.id.slice(-6)}-why`]: 'That was the neighbour', version: String(event.version) }
    expect((await office.submit(`/homes/${kestrel}/events/${event.id}/void`, reason)).status).toBe(303)
    expect((await office.get(`/homes/${kestrel}`)).text).toMatch(/<del>Sun room<\/del>.*That was the neighbour/s)
  })

  it('writes what people typed as they typed it', async () => {
    const hostile = '<script>alert(1)</script>"\'&'
    await office.submit(`/homes/${kestrel}/notes`, { text: hostile })
    const { text } = await office.get(`/homes/${kestrel}`)
    expect(text).not.toContain('<script>alert')
    expect(text).toContain('&lt;script>alert(1)&lt;/script>')
  })
})

describe('the list of homes', () => {
  it('is in the order of what is owed and takes the same statements at any length', async () => {
    const { text } = await office.get('/homes')
    expect(text.indexOf('7 Larkspur Court')).toBeLessThan(text.indexOf('12 Kestrel Lane'))
    expect(await statementsOf(() => office.get('/homes'))).toBeLessThanOrEqual(3)
  })

  it('keeps what it shows in its address, and says when there is nothing', async () => {
    const above = (await office.get('/homes?show=at-or-above')).text
    expect(above).toContain('2 Old Mill Terrace')
    expect(above).not.toContain('12 Kestrel Lane')
    expect((await office.get('/homes?show=nonsense')).text).toContain('12 Kestrel Lane')
    expect((await office.get('/homes?after=junk')).status).toBe(200)
  })
})

const elm = { street: '5 Elm Walk', city: 'Duluth', region: 'MN', postcode: '55803', country: 'us' }

describe('entering a home', () => {
  it('comes back with every fault and everything typed', async () => {
    const answer = await office.submit('/homes/new', {
      ...elm,
      street: '',
      yearBuilt: 'long ago',
      ownerEmail: 'nobody',
      ownerName: 'Kept Name',
    })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain('3 things need')
    for (const part of ['field-street', 'field-yearBuilt', 'field-ownerEmail', 'value="Kept Name"', 'value="long ago"'])
      expect(answer.text, part).toContain(part)
  })

  it('takes up address, owner, foundation and rooms in one go, once', async () => {
    const form = {
      ...elm,
      _key: newId(),
      ownerName: 'Uma Elmsworth',
      ownerPhone: '218 555 0177',
      ownerSince: '3 May 2020',
      areas: ['basement', 'slab'],
      'room-1-name': 'Den',
      'room-1-floor': '-1',
      'room-1-livedIn': 'yes',
    }
    const [first, second] = [await office.submit('/homes/new', form), await office.submit('/homes/new', form)]
    expect([first.status, second.headers.location]).toEqual([303, first.headers.location])
    const { text } = await office.get(String(first.headers.location))
    for (const words of ['5 Elm Walk', 'Uma Elmsworth', '(218) 555-0177', 'Den']) expect(text, words).toContain(words)
    const { count } = await one(`select count(*)::int as count from property where street = '5 Elm Walk'`)
    expect(count).toBe(1)
  })

  it('takes an owner with a known mail address from there', async () => {
    const known = await one(`select id, email from customer where email is not null and voided_at is null limit 1`)
    const made = await office.submit('/homes/new', {
      ...elm,
      street: '6 Elm Walk',
      ownerEmail: known.email.toUpperCase(),
    })
    const id = String(made.headers.location).split('/').at(-1)
    expect((await one('select customer_id from ownership where property_id = $1', [id])).customer_id).toBe(known.id)
  })

  it('asks for the zone where the address does not tell it', async () => {
    const answer = await office.submit('/homes/new', { street: 'Rúa 1', city: 'Vigo', country: 'ES' })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain('id="field-zone-fault"')
  })
})

describe('changing a home', () => {
  it('clears what was emptied, keeps why, and shows both to who came second', async () => {
    const id = await idOf('5 Elm Walk')
    const form = { ...elm, note: 'corner house', reason: 'she told us', version: '1' }
    expect((await office.submit(`/homes/${id}/change`, form)).status).toBe(303)
    const late = await office.submit(`/homes/${id}/change`, { ...form, note: 'my words' })
    expect(late.status).toBe(412)
    for (const part of ['Is now “corner house”', 'my words', 'name="version" value="2"'])
      expect(late.text, part).toContain(part)
    expect((await office.submit(`/homes/${id}/change`, { ...form, note: '', version: '2' })).status).toBe(303)
    expect((await one('select note from property where id = $1', [id])).note).toBe('')
    expect((await office.get(`/homes/${id}/changes`)).text).toContain('corner house')
  })

  it('adds, corrects and takes out a room', async () => {
    const id = await idOf('5 Elm Walk')
    expect((await office.submit(`/homes/${id}/rooms`, { name: '', floor: '1' })).status).toBe(422)
    expect((await office.submit(`/homes/${id}/rooms`, { name: 'Loft', floor: '1' })).status).toBe(303)
    const room = await one(`select id from test_location where name = 'Loft'`)
    const prefix = `${room.id.slice(-6)}-`
    const correction = {
      [`${prefix}name`]: 'Loft room',
      [`${prefix}livedIn`]: 'yes',
      [`${prefix}reason`]: 'asked',
      version: '1',
    }
    expect((await office.submit(`/homes/${id}/rooms/${room.id}/correction`, correction)).status).toBe(303)
    expect(await one('select name, lived_in from test_location where id = $1', [room.id])).toEqual({
      name: 'Loft room',
      lived_in: true,
    })
    const nameless = await office.submit(`/homes/${id}/rooms/${room.id}/correction`, {
      ...correction,
      [`${prefix}name`]: '',
    })
    expect(nameless.status).toBe(422)
    expect(nameless.text).toContain(`href="#field-${prefix}name"`)
    expect(nameless.text).toContain(`value="asked"`)
    const removal = { [`${prefix}why`]: 'never there', version: '2' }
    expect((await office.submit(`/homes/${id}/rooms/${room.id}`, { version: '2' })).status).toBe(422)
    expect((await office.submit(`/homes/${id}/rooms/${room.id}`, removal)).status).toBe(303)
    expect((await office.get(`/homes/${id}/rooms`)).text).not.toContain('Loft room')
  })

  it('corrects a part of the foundation, and gives the form back when it cannot be read', async () => {
    const id = await idOf('5 Elm Walk')
    await office.submit(`/homes/${id}/rooms/areas`, { kind: 'slab', areaName: 'Anex' }).expect(303)
    const area = await one(`select id from foundation_area where name = 'Anex'`)
    const prefix = `${area.id.slice(-6)}-`
    const typed = { [`${prefix}kind`]: 'crawl-space', [`${prefix}areaName`]: 'Annex', [`${prefix}areaM2`]: 'twelve' }
    const unread = await office.submit(`/homes/${id}/rooms/areas/${area.id}/correction`, { ...typed, version: '1' })
    expect(unread.status).toBe(422)
    for (const part of [
      `href="#field-${prefix}areaM2"`,
      `href="#field-${prefix}reason"`,
      'value="twelve"',
      'value="Annex"',
    ])
      expect(unread.text, part).toContain(part)
    const correction = { ...typed, [`${prefix}areaM2`]: '12,5', [`${prefix}reason`]: 'measured', version: '1' }
    await office.submit(`/homes/${id}/rooms/areas/${area.id}/correction`, correction).expect(303)
    expect(await one('select kind, name, area_m2, version from foundation_area where id = $1', [area.id])).toEqual({
      kind: 'crawl-space',
      name: 'Annex',
      area_m2: 12.5,
      version: 2,
    })
    expect((await office.get(`/homes/${id}/changes`)).text).toContain('Anex')
  })

  it('sells it: the new owner stands there, and reminders no longer reach the old one', async () => {
    const id = await idOf('5 Elm Walk')
    expect((await office.submit(`/homes/${id}/people/owner`, { 'owner-because': 'sale' })).text).toContain(
      'Name somebody',
    )
    const sale = { 'owner-name': 'Viggo Newman', 'owner-because': 'sale', 'owner-onDay': '20 Nov 2026' }
    expect((await office.submit(`/homes/${id}/people/owner`, sale)).status).toBe(303)
    const { text } = await office.get(`/homes/${id}`)
    for (const words of ['Viggo Newman', 'Former owner', 'Sold']) expect(text, words).toContain(words)
  })
})

describe('a photo', () => {
  it('is kept from the phone, shown small on the home’s page and whole behind it', async () => {
    const bytes = await sharp({ create: { width: 900, height: 600, channels: 3, background: '#a52' } })
      .png()
      .toBuffer()
    const kept = await office.agent
      .post(`/homes/${kestrel}/notes`)
      .field('_csrf', office.csrf)
      .field('_key', newId())
      .field('text', 'The gauge')
      .attach('photo', bytes, 'gauge.png')
    expect(kept.status).toBe(303)
    const { id } = await one(`select id from note where text = 'The gauge'`)
    expect((await office.get(`/homes/${kestrel}`)).text).toContain(`/files/${id}/small`)
    const small = await office.get(`/files/${id}/small`).buffer(true)
    expect(small.headers['content-type']).toBe('image/jpeg')
    expect(await sharp(small.body).metadata()).toMatchObject({ format: 'jpeg', width: 360 })
    const crew = await service.as.crew()
    expect((await crew.get(`/files/${id}`)).status).toBe(404)
  })

  it('that is none comes back to its form with the words kept', async () => {
    const answer = await office.agent
      .post(`/homes/${kestrel}/notes`)
      .field('_csrf', office.csrf)
      .field('_key', newId())
      .field('text', 'kept words')
      .attach('photo', Buffer.from('%PDF-1.7'), 'gauge.jpg')
    expect(answer.status).toBe(422)
    expect(answer.text).toContain('kept words')
  })
})

describe('the search box', () => {
  it('jumps to the record of a whole tag', async () => {
    const system = await one(`select id, property_id from system where tag = 'AF-0107'`)
    const answer = await office.get('/search?q=af 0107')
    expect([answer.status, answer.headers.location]).toEqual([303, `/homes/${system.property_id}#system-${system.id}`])
  })

  it('lists what answers with what matched, and says what it looked at when nothing does', async () => {
    const { text } = await office.get('/search?q=birchwood')
    expect(text).toContain('owner: Della Birchwood')
    expect((await office.get('/search?q=qqqqxx')).text).toContain('No home answers')
    expect((await office.get('/search')).status).toBe(200)
  })
})

describe('rules', () => {
  it('are shown each with its clause and whether it was checked', async () => {
    expect((await office.get('/rules')).text).toContain('checked')
    const { text } = await office.get('/rules/US')
    expect(text).toContain('at or above 4.0 pCi/L')
    expect(text).toContain('unverified')
    expect((await office.get('/rules/NOWHERE')).status).toBe(404)
  })
})

describe('people', () => {
  it('are added, corrected and taken out of use on screen', async () => {
    const wrong = await office.submit('/people/new', { name: 'Nils Newcomer', phone: '12', kind: 'person' })
    expect([wrong.status, wrong.text.includes('field-phone-fault')]).toEqual([422, true])
    const made = await office.submit('/people/new', { name: 'Nils Newcomer', phone: '218 555 0123', kind: 'person' })
    const path = String(made.headers.location)
    const form = {
      name: 'Nils Newcomer',
      kind: 'person',
      email: 'nils@home.example',
      mailsStopped: 'yes',
      reason: 'called',
      version: '1',
    }
    expect((await office.submit(`${path}/change`, form)).status).toBe(303)
    const { text } = await office.get(path)
    expect(text).toContain('stopped at their wish')
    expect(text).not.toContain('555-0123')
    expect((await office.submit(path, { reason: '', version: '2' })).status).toBe(422)
    expect((await office.submit(path, { reason: 'twice', version: '2' })).status).toBe(303)
    expect((await office.get('/people?q=newcomer')).text).toContain('Nobody')
  })
})
