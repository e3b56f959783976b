import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person } from '../../support/actors.ts'
import { aCustomerRow, anOwnership, aPropertyRow, insertRow, type Row, writtenAt } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let office: Person
let manager: Row

const dueOn = (n: number) => `2026-${String(12 - (n % 12)).padStart(2, '0')}-15`

beforeAll(async () => {
  service = await buildTestApp()
  office = await service.as.office()
  const db = service.db.pool
  manager = await aCustomerRow(db, { kind: 'company', name: 'Fennel Management', phone: '+16125550111' })
  for (let n = 1; n <= 40; n++) {
    const home = await aPropertyRow(db, { street: `${n} Fennel Court` })
    const around = { id: crypto.randomUUID(), property_id: home.id, customer_id: manager.id, role: 'property-manager' }
    await insertRow(db, 'property_person', { ...around, created_at: writtenAt })
    await insertRow(db, 'standing', {
      property_id: home.id,
      body: '{}',
      outcome: n % 2 ? 'below' : 'at-or-above',
      next_due_on: dueOn(n),
      engine_version: 1,
      computed_at: writtenAt,
    })
  }
  await anOwnership(db, await aPropertyRow(db, { street: '99 Own Home' }), manager)
  await anOwnership(db, await aPropertyRow(db, { street: '98 Sold Home' }), manager, { until_on: '2020-01-01' })
})
afterAll(() => service.close())

describe('the page of a manager with forty buildings', () => {
  it('is refused to a crew, whose visits name the people it needs', async () => {
    expect((await (await service.as.crew()).get(`/people/${manager.id}`)).status).toBe(403)
  })

  it('lists all of them under their role with standing and due day, the first due on top', async () => {
    const { text } = await office.get(`/people/${manager.id}`)
    expect(text).toContain('Homes as property manager')
    expect(text).toContain('40 homes, by what is due')
    const section = text.slice(text.indexOf('Homes as property manager'))
    const days = [...section.matchAll(/<time datetime="(2026-\d\d-\d\d)"/g)].map(([, day]) => day!)
    expect(days).toHaveLength(40)
    expect(days).toEqual([...days].sort())
    expect(section.match(/verdict-at-or-above/g)).toHaveLength(20)
  })

  it('keeps what is theirs by another role, and what was theirs, apart', async () => {
    const { text } = await office.get(`/people/${manager.id}`)
    expect(text).toContain('Homes as owner')
    expect(text).toMatch(/Former homes.*98 Sold Home.*: owner, until/s)
  })

  it('is one tap from the list that their phone number finds', async () => {
    const { text } = await office.get('/phone?q=612.555.0111')
    expect(text).toContain('20 or more homes')
    expect(text).toContain(`href="/people/${manager.id}"`)
  })
})
