import { type Sql, writtenAt } from '../../support/rows.ts'

/** A home as it can be remembered. */
export type Remembered = {
  readonly propertyId: string
  readonly street: string
  readonly unit: string
  readonly city: string
  readonly postcode: string
  readonly owner: string
  readonly formerOwner: string
  readonly tenant: string
  readonly phone: string
  readonly email: string
  readonly tag: string
  readonly fanSerial: string
  readonly monitorSerial: string
  readonly kitNumber: string
}

const firstNames = 'María,Björn,Søren,Chloé,Łukasz,Anna,Günther,Zoë,Noël,Irène,Peter,Ruth,Walter,Grace,Omar,Yuki'.split(
  ',',
)
const lastNames =
  'García,Müller,Østergård,Lefèvre,Kowalczyk,Johansson,Nakamura,O’Brien,Anderson,Ångström,Peterson,Núñez,Hoffmann,Thompson,Fitzgerald,Dvořák,Sandoval,Whitaker'.split(
    ',',
  )
const streets =
  'Alder,Birchwood,Cedar Ridge,Elm,Franklin,Garfield,Harbor View,Juniper,Kenwood,Lakeshore,Magnolia,Northfield,Orchard,Prospect,Quarry,Riverside,Sycamore,Thornhill,Wexford,York'.split(
    ',',
  )
const kinds = ['Street', 'Avenue', 'Lane', 'Drive', 'Road', 'Court']
const towns = [
  ['Duluth', '55803'],
  ['Minneapolis', '55406'],
  ['Rochester', '55901'],
  ['Saint Cloud', '56301'],
  ['Moorhead', '56560'],
  ['Stillwater', '55082'],
] as const

const uuid = (kind: number, n: number) =>
  `${String(kind).padStart(8, '0')}-0000-7000-8000-${String(n).padStart(12, '0')}`
// A fixed walk through the lists, with steps that share no factor with their lengths: no two homes are alike.
const pick = <T>(list: readonly T[], n: number): T => list[n % list.length]!

const remembered = (n: number): Remembered => {
  const [city, postcode] = pick(towns, n * 5 + Math.floor(n / 7))
  const owner = `${pick(firstNames, n * 3 + 1)} ${pick(lastNames, n * 5 + Math.floor(n / 18))}`
  return {
    propertyId: uuid(1, n),
    street: `${100 + ((n * 37) % 9700)} ${pick(streets, n * 7 + Math.floor(n / 20))} ${pick(kinds, n * 5 + Math.floor(n / 3))}`,
    unit: n % 9 === 0 ? `Apt ${(n % 40) + 1}` : '',
    city,
    postcode,
    owner,
    formerOwner: `${pick(firstNames, n * 7 + 5)} ${pick(lastNames, n * 11 + 4 + Math.floor(n / 16))}`,
    tenant: `${pick(firstNames, n * 11 + 2)} ${pick(lastNames, n * 13 + 7 + Math.floor(n / 18))}`,
    phone: `+1218555${String((n * 7919) % 10000).padStart(4, '0')}`,
    email: `${owner
      .normalize('NFD')
      .replace(/[^A-Za-z]/g, '')
      .toLowerCase()}${n}@mail.example`,
    tag: `UL-${4000 + n * 3}`,
    fanSerial: `F${(n * 48271) % 1000003}-K`,
    monitorSerial: `M-${(n * 16807) % 999983}`,
    kitNumber: `K${700000 + n * 11}`,
  }
}

/** Writes `count` homes with owner, former owner, tenant, system, fan and two tests; gives how each may be remembered. */
export async function manyHomes(db: Sql, count: number): Promise<Remembered[]> {
  const homes = Array.from({ length: count }, (_, n) => remembered(n))
  const insert = (table: string, rows: readonly object[]) =>
    db.query(`insert into "${table}" select * from jsonb_populate_recordset(null::"${table}", $1::jsonb)`, [
      JSON.stringify(rows),
    ])
  const stamps = { version: 1, created_at: writtenAt, updated_at: writtenAt }
  const blank = { unit: '', note: '', access_note: '', gate_code: '', dog_note: '' }
  const place = { region: 'MN', country: 'US', zone: 'America/Chicago', zone_source: 'found', jurisdiction: 'US-MN' }
  await insert(
    'property',
    homes.map(h => ({
      ...blank,
      ...place,
      ...stamps,
      id: h.propertyId,
      street: h.street,
      unit: h.unit,
      city: h.city,
      postcode: h.postcode,
      building_use: 'home',
    })),
  )
  const person = (kind: number, n: number, name: string, more: object = {}) => ({
    ...{ street: '', city: '', region: '', postcode: '', country: '', note: '', language: 'en', kind: 'person' },
    ...{ preferred_channel: 'email', ...stamps, id: uuid(kind, n), name, ...more },
  })
  await insert(
    'customer',
    homes.map((h, n) => person(2, n, h.owner, { email: h.email, phone: h.phone })),
  )
  await insert(
    'customer',
    homes.map((h, n) => person(3, n, h.formerOwner)),
  )
  await insert(
    'customer',
    homes.map((h, n) => person(4, n, h.tenant)),
  )
  const around = (kind: number, n: number) => ({ property_id: uuid(1, n), customer_id: uuid(kind, n), ...stamps })
  await insert(
    'ownership',
    homes.map((_, n) => ({ id: uuid(5, n), ...around(3, n), until_on: '2020-05-01' })),
  )
  await insert(
    'ownership',
    homes.map((_, n) => ({ id: uuid(6, n), ...around(2, n), from_on: '2020-05-01' })),
  )
  await insert(
    'property_person',
    homes.map((_, n) => ({ id: uuid(7, n), ...around(4, n), role: 'tenant' })),
  )
  const system = {
    active: true,
    installed_by: 'us',
    installer_name: '',
    label_note: '',
    note: '',
    type: 'sub-slab',
    ...stamps,
  }
  await insert(
    'system',
    homes.map((h, n) => ({ ...system, id: uuid(8, n), property_id: h.propertyId, tag: h.tag })),
  )
  const part = { model: '', lot: '', place: '', removal_reason: '', note: '', kind: 'fan', ...stamps }
  await insert(
    'system_component',
    homes.map((h, n) => ({ ...part, id: uuid(9, n), system_id: uuid(8, n), serial: h.fanSerial })),
  )
  const monitor = { kind: 'monitor', method: 'continuous-monitor', model: '', note: '', ...stamps }
  await insert(
    'device',
    homes.map((h, n) => ({ ...monitor, id: uuid(10, n), serial: h.monitorSerial })),
  )
  const test = {
    purpose: 'retest',
    method: 'continuous-monitor',
    source: 'own',
    source_name: '',
    set_by: '',
    picked_up_by: '',
    laboratory: '',
    conditions_note: '',
    closed_during: 'unknown',
    severe_weather: 'unknown',
    system_running: 'unknown',
    tampering: 'unknown',
    ...stamps,
  }
  await insert(
    'test',
    homes.map((h, n) => ({ ...test, id: uuid(11, n), property_id: h.propertyId })),
  )
  const exposure = { role: 'measurement', qualifier: '=', position: 0, against_records: '', created_at: writtenAt }
  await insert(
    'exposure',
    homes.map((h, n) => ({
      ...exposure,
      id: uuid(12, n),
      test_id: uuid(11, n),
      device_id: uuid(10, n),
      kit_number: h.kitNumber,
    })),
  )
  return homes
}
