import { placeExposures } from '../../features/tests/move-test.ts'
import { type NounParts, reference } from '../record-parts.ts'

export const exposureParts: NounParts = {
  table: 'exposure',
  fields: { locationId: reference('location_id', 'A measurement was put into another room since.') },
  putBack: (tx, _act, records) =>
    placeExposures(
      tx,
      records.map(({ id, was }) => ({ id, locationId: was.locationId as string | null })),
    ),
}
