import { addressKey, partUnit, type WrittenAddress } from '../../domain/address/address-key.ts'
import { isSameBuilding } from '../../domain/address/same-building.ts'

/** A home that may be in the same building as another. */
export type NearHome = WrittenAddress & { readonly id: string; readonly owner: string }
export type Unit = { readonly id: string; readonly unit: string; readonly owner: string }

const mostUnits = 200

/** Of homes with one house number, those in one building, by unit; a unit may have been written behind the street. */
export function unitsOf(home: WrittenAddress, near: readonly NearHome[]): readonly Unit[] {
  const compared = addressKey(home)
  return near
    .filter(one => isSameBuilding(compared, addressKey(one)))
    .map(({ id, owner, street, unit }) => ({ id, owner, unit: unit || partUnit(street).unit }))
    .sort((a, b) => a.unit.length - b.unit.length || a.unit.localeCompare(b.unit, 'en'))
    .slice(0, mostUnits)
}
