import type { AddressKey } from './address-key.ts'

const silentOrEqual = (a: string, b: string): boolean => a === '' || b === '' || a === b

/** Whether two addresses are one building, units apart: one street, and no town, postcode or state that differs. */
export const isSameBuilding = (a: AddressKey, b: AddressKey): boolean =>
  a.street === b.street &&
  silentOrEqual(a.city, b.city) &&
  silentOrEqual(a.postcode, b.postcode) &&
  silentOrEqual(a.region, b.region)

/** The same, with the same unit. */
export const isSameHome = (a: AddressKey, b: AddressKey): boolean => isSameBuilding(a, b) && a.unit === b.unit
