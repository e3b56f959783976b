import sharp from 'sharp'
import type { Program } from './actors.ts'

/** Ids of one home with a record of every noun behind it. */
export type Home = Readonly<Record<HomeNoun, string>>
export type HomeNoun =
  | 'property'
  | 'customer'
  | 'area'
  | 'location'
  | 'person'
  | 'party'
  | 'event'
  | 'system'
  | 'pipe'
  | 'outreach'
  | 'component'
  | 'test'
  | 'exposure'
  | 'device'
  | 'spare'
  | 'calibration'
  | 'visit'
  | 'callback'
  | 'astray'
  | 'correction'
  | 'note'
  | 'photo'
  | 'import'
  | 'saved'
  | 'buyer'
  | 'policy'
  | 'booking'
  | 'absence'
  | 'lot'
  | 'kit'
  | 'kitNumber'
  | 'kitLimit'

export const day1 = '2026-02-02T15:00:00Z'
export const day3 = '2026-02-05T16:00:00Z'

/** Fifty hours of a monitor's readings as it exports them. */
export const monitorFile = (first: string): string => {
  const start = Date.parse(first)
  const rows = Array.from(
    { length: 50 },
    (_, n) => `${new Date(start + n * 3_600_000).toISOString()},${(3 + (n % 5) / 10).toFixed(1)}`,
  )
  return ['Time,Radon (pCi/L)', ...rows].join('\n')
}

async function made(program: Program, path: string, body: object) {
  const answer = await program.post(path, body)
  if (answer.status !== 201) throw new Error(`POST ${path}: ${answer.status} ${answer.text}`)
  return answer.body
}

/** A home with everything that can hang on one, made through the API. `name` is in each of its texts. */
export async function aWholeHome(program: Program, name: string): Promise<Home> {
  const make = (path: string, body: object) => made(program, path, body)
  const customer = await make('/v1/customers', {
    name: `${name} Owner`,
    email: `${name.toLowerCase()}@home.example`,
    phone: '(218) 555-0147',
  })
  const buyer = await make('/v1/customers', { name: `${name} Buyer` })
  const property = await make('/v1/properties', {
    street: `1 ${name} Street`,
    city: 'Duluth',
    region: 'MN',
    postcode: '55803',
    country: 'US',
    ownerId: customer.id,
    ownerSince: '2020-05-01',
    foundationAreas: [{ kind: 'basement', name: `${name} basement` }],
    testLocations: [{ name: `${name} family room`, floor: -1, livedIn: true }],
  })
  const home = `/v1/properties/${property.id}`
  const area = property.foundationAreas[0]
  const location = property.testLocations[0]
  const person = await make(`${home}/people`, { customerId: customer.id, role: 'occupant' })
  const event = await make(`${home}/events`, { kind: 'renovation', at: day1, note: name })
  const system = await make(`${home}/systems`, {
    tag: `${name}-1`,
    type: 'sub-slab-suction',
    installedBy: 'us',
    components: [{ kind: 'fan', model: name, installed: { at: '2024-03-04T16:00:00Z' } }],
    events: [{ kind: 'first-start', when: { at: '2024-03-04T18:00:00Z' } }],
  })
  const pipe = await make(`${home}/systems`, {
    tag: `${name}-2`,
    type: 'passive-stack',
    active: false,
    installedBy: 'builder',
    events: [{ kind: 'completed', when: { approx: '2019' } }],
    gaugeReadings: [{ role: 'adopted', value: '0.1', unit: 'in. w.c.', at: day1 }],
  })
  const device = await make('/v1/devices', {
    kind: 'monitor',
    method: 'continuous-monitor',
    serial: `${name}-9`,
    calibrations: [{ calibratedOn: '2025-09-01', validUntil: '2026-09-01' }],
  })
  const spare = await make('/v1/devices', { kind: 'monitor', method: 'continuous-monitor', serial: `${name}-10` })
  const test = await make(`${home}/tests`, {
    purpose: 'post-mitigation',
    method: 'activated-charcoal',
    systemId: (system.system ?? system).id,
    setAt: day1,
    pickedUpAt: day3,
    exposures: [{ locationId: location.id, startAt: day1, stopAt: day3 }],
  })
  const visit = await make(`${home}/visits`, {
    purpose: 'gauge-check',
    startsAt: '2026-03-03T16:00:00Z',
    instructions: name,
  })
  const outreach = await make(`${home}/outreach`, {
    kind: 'called',
    outcome: 'no-answer',
    callAgainOn: '2026-03-04',
    note: name,
  })
  const callback = await make(`${home}/callbacks`, { complaint: 'noise', description: name })
  const party = await make(`${home}/work-parties`, {
    subject: 'test',
    subjectId: (test.test ?? test).id,
    customerId: customer.id,
    part: 'ordered',
  })
  const note = await make('/v1/notes', { subject: 'property', subjectId: property.id, text: `${name} note` })
  const photo = await program.agent
    .post('/v1/photos')
    .set('idempotency-key', `photo-${property.id}`)
    .field({ subject: 'property', subjectId: property.id, text: `${name} photo` })
    .attach('photo', await aPicture(), { filename: 'photo.png', contentType: 'image/png' })
  const imported = await program.agent
    .post('/v1/imports')
    .set('idempotency-key', `import-${property.id}`)
    .field({ kind: 'monitor-record', propertyId: property.id })
    .attach('file', Buffer.from(monitorFile(day1)), { filename: `${name}.csv`, contentType: 'text/csv' })
  for (const answer of [photo, imported])
    if (answer.status !== 201) throw new Error(`upload: ${answer.status} ${answer.text}`)
  const booking = await make(`${home}/bookings`, {
    deviceId: device.id,
    from: '2026-04-06T15:00:00Z',
    until: '2026-04-08T15:00:00Z',
    note: name,
  })
  const away = { kind: 'calibration', fromOn: '2026-05-04', expectedBackOn: '2026-05-15' }
  const absence = await make(`/v1/devices/${device.id}/absences`, away)
  const lot = await make('/v1/devices', { kind: 'kit-lot', method: 'activated-charcoal', lot: `${name}-L` })
  const kit = await make(`${home}/kits`, {
    deviceId: lot.id,
    number: `${name}-K1`,
    purpose: 'retest',
    leftOn: '2026-02-23',
    leftWith: name,
  })
  const planned = { purpose: 'bid', startsAt: '2026-03-05T16:00:00Z' }
  const mistaken = await make(`${home}/visits`, planned)
  const astray = await make(`${home}/visits`, planned)
  const correction = await make('/v1/corrections', {
    ...{ kind: 'void', noun: 'visit', id: mistaken.id },
    reason: `${name} did not ask for it`,
  })
  const policies = await program.get('/v1/policies')
  return {
    property: property.id,
    customer: customer.id,
    area: area.id,
    location: location.id,
    person: person.id,
    event: event.id,
    system: (system.system ?? system).id,
    pipe: pipe.system.id,
    outreach: outreach.id,
    component: (system.system ?? system).components[0].id,
    test: (test.test ?? test).id,
    exposure: (test.test ?? test).exposures[0].id,
    device: device.id,
    spare: spare.id,
    calibration: device.calibrations[0].id,
    visit: visit.id,
    callback: callback.id,
    astray: astray.id,
    correction: correction.id,
    party: party.id,
    note: note.id,
    photo: photo.body.id,
    import: imported.body.id,
    saved: imported.body.id,
    buyer: buyer.id,
    policy: policies.body.items[0].id,
    booking: booking.id,
    absence: absence.id,
    lot: lot.id,
    kit: kit.id,
    kitNumber: kit.number,
    kitLimit: 'alpha-track',
  }
}

let picture: Promise<Buffer> | undefined
const aPicture = () =>
  (picture ??= sharp({ create: { width: 40, height: 30, channels: 3, background: '#446688' } })
    .png()
    .toBuffer())
