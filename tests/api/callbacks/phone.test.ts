import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person, Program } from '../../support/actors.ts'
import {
  aCustomerRow,
  anAssignment,
  anOwnership,
  aPropertyRow,
  aVisitRow,
  insertRow,
  type Row,
  writtenAt,
} from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'
import { aWholeHome, type Home } from '../../support/world.ts'

let service: TestApp
let office: Person
let app: Program
let home: Home

beforeAll(async () => {
  service = await buildTestApp()
  office = await service.as.office()
  app = await service.as.app()
  home = await aWholeHome(app, 'Alder')
})
afterAll(() => service.close())

const screen = (query = '') => `/homes/${home.property}/phone${query}`
const db = () => service.db.pool

describe('the screen for a call is refused', () => {
  it('to nobody in particular, and to a crew, which has the page of its visit', async () => {
    expect((await service.as.anonymous.get(screen())).status).toBe(303)
    const crew = await service.as.crew()
    expect((await crew.get(screen())).status).toBe(403)
    expect((await crew.get('/phone')).status).toBe(403)
  })

  it('for a home that is not there, out of use, or reported in a word that is none', async () => {
    const voided = await aPropertyRow(db(), { voided_at: writtenAt, void_reason: 'never was' })
    for (const id of ['0198a000-0000-7000-8000-000000000000', voided.id])
      expect((await office.get(`/homes/${id}/phone`)).status).toBe(404)
    expect((await office.get(screen('?reported=ghosts'))).status).toBe(400)
  })
})

describe('the first questions, asked for by an app', () => {
  const path = () => `/v1/properties/${home.property}/first-questions`

  it('are not there for a home it may not see, without what is reported, or about a system of another home', async () => {
    const other = await service.as.app({ homes: [] })
    expect((await other.get(`${path()}?reported=alarm`)).status).toBe(404)
    expect((await app.get(path())).status).toBe(400)
    const foreign = await aWholeHome(app, 'Birch')
    expect((await app.get(`${path()}?reported=alarm&systemId=${foreign.system}`)).status).toBe(404)
  })

  it('are three, each with why and what answers point to', async () => {
    const { body } = await app.get(`${path()}?reported=alarm`)
    expect(body.systemId).toBe(home.system)
    expect(body.questions).toHaveLength(3)
    for (const { ask, why, meanings } of body.questions) {
      expect(ask).toContain('?')
      expect(why).not.toBe('')
      expect(meanings.length).toBeGreaterThan(0)
    }
  })

  it('go back with their answers into the callback; empty answers and thirteen of them are refused', async () => {
    const record = (answers: object[]) =>
      app.post(`/v1/properties/${home.property}/callbacks`, { complaint: 'alarm', answers })
    expect((await record([{ question: 'Is it on?', answer: '' }])).status).toBe(422)
    expect((await record(Array(13).fill({ question: 'Is it on?', answer: 'Yes' }))).status).toBe(422)
    const answers = [{ question: 'Is it on?', answer: 'Breaker was off' }]
    const { body } = await record(answers)
    expect(body.answers).toEqual(answers)
    const corrected = await app.patch(`/v1/callbacks/${body.id}`, { found: 'Breaker' }, 1)
    expect(corrected.body.answers).toEqual(answers)
  })
})

describe('whoever calls is found by a fragment', () => {
  it('and the screen is there at once where one home is clear: tag, former owner, part of an address', async () => {
    const former = await aCustomerRow(db(), { name: 'Quillon Formerly' })
    await anOwnership(db(), { id: home.property }, former, { from_on: '2010-01-01', until_on: '2020-05-01' })
    for (const typed of ['Alder-1', 'quillon', '1 alder str']) {
      const answer = await office.get(`/phone?q=${encodeURIComponent(typed)}`)
      expect([typed, answer.status, answer.headers.location]).toEqual([typed, 303, screen()])
    }
  })

  const spellings: readonly (readonly [string, string])[] = [
    ['+12185550199', '218 555 0199'],
    ['+12185550199', '(218) 555-0199'],
    ['+12185550199', '218.555.0199'],
    ['+12185550199', '1-218-555-0199'],
    ['+12185550199', '+1 218 555 0199'],
    ['+12185550199', '001 218 555 0199'],
    ['+12185550199', '555-0199'],
    ['+12185550199', '0199'],
    ['+442079460958', '020 7946 0958'],
    ['+442079460958', '+44 (0)20 7946 0958'],
  ]
  it.each(spellings)('%s is meant by %s', async (kept, typed) => {
    const reached = await aPropertyRow(db(), { street: `77 ${kept.slice(-7)} Court` })
    const tenant = await aCustomerRow(db(), { name: 'Pell Marrow', phone: kept })
    const row = { id: crypto.randomUUID(), property_id: reached.id, customer_id: tenant.id, role: 'tenant' }
    await insertRow(db(), 'property_person', { ...row, created_at: writtenAt })
    const { headers } = await office.get(`/phone?q=${encodeURIComponent(typed)}`)
    expect(headers.location).toBe(`/homes/${reached.id}/phone`)
    await db().query('update property_person set voided_at = $2 where id = $1', [row.id, writtenAt])
  })

  it('and where several answer, each says owner, who lives there and tag, and the person they share is one tap away', async () => {
    const manager = await aCustomerRow(db(), { name: 'Fennel Management', phone: '+16125550111' })
    const units = await Promise.all(['1', '2', '3'].map(unit => aManagedUnit(manager, unit)))
    const { text, status } = await office.get('/phone?q=612-555-0111')
    expect(status).toBe(200)
    for (const { property, tenant } of units) {
      expect(text).toContain(`/homes/${property.id}/phone`)
      expect(text).toContain(`lives there: ${tenant.name} (tenant)`)
    }
    expect(text).toContain(`href="/people/${manager.id}"`)
    const one = await office.get(`/homes/${units[0]!.property.id}/phone`)
    expect(one.text).toContain('3 units at this address')
    for (const { property } of units) expect(one.text).toContain(`href="/homes/${property.id}/phone"`)
  })

  it('and shows the units of one building together however the street, the unit and the postcode were written', async () => {
    const written = [
      { street: '12 N Main St', unit: 'Apt 1' },
      { street: '12 North Main Street', unit: '#2' },
      { street: '0012 N. MAIN ST., Unit 3', unit: '' },
      { street: '12 North Main St', unit: '4', postcode: '55802-1234' },
    ]
    const units = await Promise.all(written.map(over => aPropertyRow(db(), { postcode: '55802', ...over })))
    const others = [{ street: '12 S Main St' }, { street: '12 N Main Ave' }, { street: '112 N Main St' }]
    await Promise.all(others.map(over => aPropertyRow(db(), { postcode: '55802', ...over })))
    const { text } = await office.get(`/homes/${units[0]!.id}/phone`)
    expect(text).toContain('4 units at this address')
    for (const { id } of units) expect(text).toContain(`href="/homes/${id}/phone"`)
    const shown = text.slice(text.indexOf('id="units"'), text.indexOf('</nav>', text.indexOf('id="units"')))
    expect(shown.match(/(Apt 1|#2|Unit 3|>4<)/g)).toEqual(['>4<', '#2', 'Apt 1', 'Unit 3'])
  })
})

async function aManagedUnit(manager: Row, unit: string) {
  const property = await aPropertyRow(db(), { street: '40 Fennel Court', unit: `#${unit}` })
  await anOwnership(db(), property, manager)
  const tenant = await aCustomerRow(db(), { name: `Tenant No${unit}` })
  const row = { id: crypto.randomUUID(), property_id: property.id, customer_id: tenant.id, role: 'tenant' }
  await insertRow(db(), 'property_person', { ...row, created_at: writtenAt })
  return { property, tenant }
}

describe('the screen for a call', () => {
  it('says who lives there and how they are reached, the fan’s age, the start-up value, what is open and due', async () => {
    await app.post(`/v1/systems/${home.system}/gauge-readings`, {
      role: 'start-up',
      value: '1.2',
      unit: 'in. w.c.',
      at: '2024-03-04T18:30:00Z',
      readBy: 'R. Vance',
    })
    const { text } = await office.get(screen())
    for (const words of [
      'occupant and owner, lives there',
      '(218) 555-0147',
      'prefers to be reached by mail; speaks English',
      '<strong>a year old</strong><span>, Alder',
      '1.2 in. w.c. at the start-up',
      'read by R. Vance',
      'No warranty terms are on record',
      'Last test:',
      'Callback no.',
      'Caution.',
    ])
      expect(text, words).toContain(words)
  })

  it('says what is not known instead of leaving it out', async () => {
    const bare = await aPropertyRow(db(), { street: '9 Bare Street' })
    const { text } = await office.get(`/homes/${bare.id}/phone`)
    for (const words of [
      'Who lives there is not on record: ask.',
      'No system is on record',
      'How this home stands is not worked out yet.',
      'No callback is open, no visit is planned, no wish waits.',
      'Nothing is noted about key, gate or dog',
    ])
      expect(text, words).toContain(words)
  })

  it('keeps gate code, key and dog for those who are sent there, as long as the visit is to come', async () => {
    await db().query(`update property set gate_code = '4711', dog_note = 'Two dogs' where id = $1`, [home.property])
    expect((await office.get(screen())).text).not.toContain('4711')
    const goes = await service.as.staff(['office', 'crew'])
    const visit = await aVisitRow(db(), { id: home.property }, { purpose: 'callback' })
    await anAssignment(db(), visit, { id: goes.id })
    expect((await goes.get(screen())).text).toContain('4711')
    expect((await office.get(screen())).text).not.toContain('4711')
    await db().query(`update visit set outcome = 'done' where id = $1`, [visit.id])
    expect((await goes.get(screen())).text).not.toContain('4711')
  })

  it('asks by this home’s own start-up value, and takes the answers straight into a callback', async () => {
    const { text } = await office.get(screen('?reported=gauge-changed'))
    expect(text).toContain('It stood at 1.2 in. w.c. at the start-up.')
    const form = {
      complaint: 'gauge-changed',
      system: home.system,
      caller: home.customer,
      'question-1': 'What does the gauge show?',
      'answer-1': '0.4, and it bounces',
      'question-2': 'What happened before?',
      'answer-2': '',
    }
    const saved = await office.submit(`/homes/${home.property}/callbacks/new`, form)
    expect(saved.status).toBe(303)
    const { text: kept } = await office.get(saved.headers.location!)
    expect(kept).toContain('0.4, and it bounces')
    expect(kept).toContain('by Alder Owner')
    expect(kept).not.toContain('What happened before?')
  })

  it('keeps the questions and what was typed where the form comes back with faults', async () => {
    const back = await office.submit(`/homes/${home.property}/callbacks/new`, {
      complaint: '',
      'question-1': 'What does the gauge show?',
      'answer-1': 'zero',
    })
    expect(back.status).toBe(422)
    expect(back.text).toContain('What does the gauge show?')
    expect(back.text).toContain('>zero</textarea>')
  })

  it('still says what each answer means, and who is calling, where the form comes back with faults', async () => {
    const { body } = await app.get(`/v1/properties/${home.property}/first-questions?reported=gauge-changed`)
    const asks: string[] = body.questions.map(({ ask }: { ask: string }) => ask)
    const meanings = (html: string) => html.match(/<dl class="meanings">.*?<\/dl><p class="small source">.*?<\/p>/gs)
    const said = meanings((await office.get(screen('?reported=gauge-changed'))).text)
    expect(said).toHaveLength(3)
    const form = Object.fromEntries(asks.map((ask, index) => [`question-${index + 1}`, ask]))
    const typed = { ...form, complaint: '', system: home.system, caller: home.customer }
    const back = await office.submit(`/homes/${home.property}/callbacks/new`, typed)
    expect(back.status).toBe(422)
    expect(meanings(back.text)).toEqual(said)
    expect(back.text).toMatch(new RegExp(`<option value="${home.customer}" selected`))
    const strange = { complaint: '', 'question-1': 'What does the neighbour say?' }
    const plain = await office.submit(`/homes/${home.property}/callbacks/new`, strange)
    expect([plain.status, meanings(plain.text)]).toEqual([422, null])
  })

  it('says which way somebody prefers that is not on record, whatever language they speak, and who wants no mails', async () => {
    const bare = await aPropertyRow(db(), { street: '10 Bare Street' })
    const around = [
      { name: 'Marisol Vega', phone: null, preferred_channel: 'phone', language: 'es' },
      { name: 'Tou Vang', phone: '+12185550188', preferred_channel: 'phone', language: 'hmn' },
      { name: 'Lena Orr', preferred_channel: 'letter', language: 'de', mails_stopped_at: writtenAt },
      { name: 'Piet Noor', email: null, preferred_channel: 'email', language: 'nl' },
    ]
    for (const person of around) {
      const { id } = await aCustomerRow(db(), person)
      const row = { id: crypto.randomUUID(), property_id: bare.id, customer_id: id, role: 'tenant' }
      await insertRow(db(), 'property_person', { ...row, created_at: writtenAt })
    }
    const { text } = await office.get(`/homes/${bare.id}/phone`)
    const lineOf = (name: string) => new RegExp(`>${name}</a>.*?<p class="line small">(.*?)</p>`, 's').exec(text)?.[1]
    expect(around.map(({ name }) => lineOf(name))).toEqual([
      'prefers to be reached by phone, which is not on record; speaks Spanish',
      'prefers to be reached by phone; speaks Hmong',
      'prefers to be reached by letter; speaks German; wants no reminders by mail',
      'prefers to be reached by mail, which is not on record; speaks Dutch',
    ])
  })

  it('takes a new owner in one step, and comes back to the call', async () => {
    const form = { 'owner-back': 'phone', 'owner-name': 'Nova Keller', 'owner-because': 'sale', 'owner-onDay': '' }
    const saved = await office.submit(`/homes/${home.property}/people/owner`, form)
    expect([saved.status, saved.headers.location]).toEqual([303, screen()])
    expect((await office.get(screen())).text).toContain('Nova Keller')
    const found = await office.get('/phone?q=Nova+Keller')
    expect(found.headers.location).toBe(screen())
  })
})
