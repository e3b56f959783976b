import { randomUUID } from 'node:crypto'
import { DateTime } from 'luxon'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Program } from '../../support/actors.ts'
import { withShippedPolicies } from '../../support/laws-in-database.ts'
import { messyHomes } from '../../support/messy-homes.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

// The 900 homes of tests/support/messy-homes.ts; its head lists how the table was spoilt.

let app: TestApp
let office: Program
const table = messyHomes()
const zone = 'America/Chicago'

beforeAll(async () => {
  app = await buildTestApp({ at: '2026-11-27T15:00:00Z' })
  await withShippedPolicies(app.db, { actor: { kind: 'operator', id: null }, now: app.clock.now(), requestId: 'test' })
  office = await app.as.app()
})
afterAll(() => app.close())

const send = async (csv: string, told: object) => {
  const sent = office.agent.post('/v1/imports').set('Idempotency-Key', randomUUID())
  sent.attach('file', Buffer.from(csv), 'all jobs FINAL (2).csv').field('kind', 'homes-table')
  return (await sent.field('told', JSON.stringify(told)).expect(201)).body
}
const pcil = { constants: { radonUnit: 'pCi/L' } }

async function systemTagged(tag: string) {
  const [system] = (await office.get(`/v1/systems?tag=${tag}`).expect(200)).body.items
  const owners = (await office.get(`/v1/properties/${system.propertyId}/ownership`).expect(200)).body.items
  const customer = (await office.get(`/v1/customers/${owners[0].customerId}`).expect(200)).body
  return { ...system, customer }
}
const noon = (day: string | null) => `${DateTime.fromISO(`${day}T12:00`, { zone }).toUTC().toISO()}`
/** The day that a spreadsheet counts from 30 December 1899. */
const counted = (days: number) => DateTime.fromISO('1899-12-30').plus({ days }).toISODate()

describe('a table of 900 homes, spoilt in thirty ways', () => {
  let doubles: Record<string, string>

  it('asks once for what all rows leave open', async () => {
    const asked = await send(table.csv, {})
    expect(asked.homes.questions).toEqual([{ part: 'radonUnit', text: 'In which unit are the radon results?' }])
    expect(asked.homes.dryRun).toBeNull()
  })

  it('is counted: twenty said twice, six with a slip, four bad rows, three that are no homes', async () => {
    const { homes } = await send(table.csv, pcil)
    expect(homes.dryRun.counts).toEqual({
      ...{
        fresh: 906,
        added: 0,
        filled: 0,
        same: 0,
        people: 935,
        systems: 906,
        tests: 1764,
        notes: 192,
        zonesAssumed: 0,
      },
      ...{ joinedRows: 20, skippedRows: 3, bad: 4, remarks: 78, undecided: 6 },
    })
    expect(homes.dryRun.faults.map((fault: { line: number; problem: string }) => [fault.line, fault.problem])).toEqual([
      [417, 'names two homes'],
      [418, 'names no home'],
      [419, 'does not fit: 55802 lies in MN, not in WI: correct one of them'],
      [963, 'has 26 cells where the header has 25'],
    ])
    doubles = Object.fromEntries(homes.dryRun.doubles.map(({ id }: { id: string }) => [id, 'same']))
    expect(Object.keys(doubles)).toHaveLength(6)
  })

  it('is written as 900 homes, each as its row says', async () => {
    const looked = await send(table.csv, { ...pcil, badRows: 'leave-out', doubles })
    await office.post(`/v1/imports/${looked.id}/commit`, {}).expect(201)
    await app.runJobs()
    const done = (await office.get(`/v1/imports/${looked.id}`).expect(200)).body
    expect(done).toMatchObject({ state: 'committed', failure: '', summary: { homes: { fresh: 900, undecided: 0 } } })

    const rough = await systemTagged('J-1002')
    expect(rough.events).toMatchObject([{ kind: 'first-start', when: { at: null, approx: '2010~' } }])
    const byNumber = await systemTagged('J-1001')
    expect(byNumber.events[0].when.approx).toBe(counted(38_001))
    expect(byNumber.gaugeReadings).toMatchObject([
      { role: 'start-up', value: '0.7', unit: 'in. w.c.', at: noon(counted(38_001)) },
    ])
    const twoPhones = (await systemTagged('J-1004')).customer
    expect(twoPhones).toMatchObject({ name: 'Ella Aldous', phone: '+12185551004', note: 'Also: +12185552004' })
    const noDay = await systemTagged('J-1005')
    expect(noDay.events).toMatchObject([{ kind: 'first-start', when: { at: null, approx: null } }])
    const { propertyId, customer } = await systemTagged('J-1008')
    expect(customer.name).toBe('Ines Ivers')
    const coOwners = await app.db.pool.query(
      `select c.name from property_person p join customer c on c.id = p.customer_id
        where p.property_id = $1 and p.role = 'co-owner' and p.voided_at is null`,
      [propertyId],
    )
    expect(coOwners.rows).toEqual([{ name: 'Jon Ivers' }])
  })

  it('read again after somebody saved it anew, changes nothing', async () => {
    const { homes } = await send(`${table.csv}\r\n`, { ...pcil, badRows: 'leave-out', doubles })
    expect(homes.dryRun.counts).toMatchObject({ fresh: 0, added: 0, same: 900, people: 0, systems: 0, tests: 0 })
  })
})
