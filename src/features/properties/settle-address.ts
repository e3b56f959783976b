import { type Address, locateAddress } from './locate-address.ts'
import { impossible, type Refusal, refuse } from './refuse.ts'
import type { PropertyColumns } from './rows.ts'
import type { NewProperty, PropertyCorrection } from './schemas.ts'

const zoneUnknown: Refusal = {
  pointer: '/zone',
  code: 'zone-unknown',
  detail: 'The address does not tell its time zone: give the postcode, or the zone itself, like America/Chicago',
}

/** A new home's columns: address tidied, zone and jurisdiction found where they were not given. Throws 422. */
export async function settleAddress(input: NewProperty): Promise<PropertyColumns> {
  const { address, zone, jurisdiction, faults } = await locateAddress(addressOf(input))
  const settledZone = input.zone ?? zone
  // A person who gives the zone has looked; a postcode across a border is then theirs to know.
  refuse(input.zone ? faults.filter(fault => fault.code !== 'region') : faults)
  if (settledZone === null) throw impossible([zoneUnknown])
  return {
    ...columnsOf(input, address),
    zone: settledZone,
    zoneSource: input.zone ? 'given' : 'found',
    jurisdiction: input.jurisdiction ?? jurisdiction,
  }
}

const columnsOf = (input: NewProperty, address: Address) => ({
  ...address,
  buildingUse: input.buildingUse ?? 'home',
  yearBuilt: input.yearBuilt ?? null,
  storeys: input.storeys ?? null,
  accessNote: input.accessNote ?? '',
  gateCode: input.gateCode ?? '',
  dogNote: input.dogNote ?? '',
  note: input.note ?? '',
})

export type SettledOld =
  | { readonly ok: true; readonly settled: PropertyColumns }
  | { readonly ok: false; readonly faults: readonly Refusal[] }

/** The same for a home of an old record: where the address does not tell the zone, one is assumed and said to be so. */
export async function settleOldAddress(input: NewProperty, assumedZone: string): Promise<SettledOld> {
  const { address, zone, jurisdiction, faults } = await locateAddress(addressOf(input))
  if (faults.length > 0) return { ok: false, faults }
  const zoneSource = zone === null ? 'assumed' : 'found'
  return { ok: true, settled: { ...columnsOf(input, address), zone: zone ?? assumedZone, zoneSource, jurisdiction } }
}

const addressFields = ['street', 'unit', 'city', 'region', 'postcode', 'country'] as const

/** The columns after a correction: a new address is located anew, except for what a person once gave themselves. */
export async function resettleAddress(
  was: PropertyColumns,
  patch: Omit<PropertyCorrection, 'reason'>,
): Promise<PropertyColumns> {
  const named = Object.fromEntries(Object.entries(patch).filter(([, value]) => value !== undefined))
  const now: PropertyColumns = { ...was, ...named, ...(patch.zone ? { zoneSource: 'given' } : {}) }
  if (!addressFields.some(field => now[field] !== was[field])) return now
  const before = await locateAddress(was)
  const after = await locateAddress(addressOf(now))
  const zone = now.zoneSource === 'given' ? now.zone : after.zone
  refuse(now.zoneSource === 'given' ? after.faults.filter(fault => fault.code !== 'region') : after.faults)
  if (zone === null) throw impossible([zoneUnknown])
  const followed = was.jurisdiction === before.jurisdiction
  const jurisdiction = patch.jurisdiction ?? (followed ? after.jurisdiction : was.jurisdiction)
  const zoneSource = now.zoneSource === 'given' ? 'given' : 'found'
  return { ...now, ...after.address, zone, zoneSource, jurisdiction }
}

const addressOf = (input: Pick<NewProperty, (typeof addressFields)[number]>): Address => ({
  street: input.street,
  unit: input.unit ?? '',
  city: input.city,
  region: input.region ?? '',
  postcode: input.postcode ?? '',
  country: input.country,
})
