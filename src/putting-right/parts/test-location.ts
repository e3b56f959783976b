import { voidTestLocations } from '../../features/properties/change-parts.ts'
import { madeAnew, type NounParts } from '../record-parts.ts'

export const testLocationParts: NounParts = {
  table: 'test_location',
  fields: { made: madeAnew('A room made for it was taken out of the home since.') },
  putBack: (tx, act, records, reason) =>
    voidTestLocations(
      tx,
      act,
      records.map(({ id }) => id),
      reason,
    ),
}
