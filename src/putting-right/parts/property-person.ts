import { handOverPersons } from '../../features/properties/hand-over-homes.ts'
import { instant, type NounParts, reference } from '../record-parts.ts'

export const propertyPersonParts: NounParts = {
  table: 'property_person',
  fields: {
    customerId: reference('customer_id', 'A part around a home was said to be somebody else’s since.'),
    propertyId: reference('property_id', 'Somebody around a home was put to another since.'),
    fromOn: reference('from_on', 'The first day of a part around a home was changed since.'),
    untilOn: reference('until_on', 'A part around a home was ended since.'),
    voidedAt: instant('voided_at', 'A part around a home was taken back, or put in again, since.'),
  },
  putBack: (tx, act, records, reason) =>
    handOverPersons(
      tx,
      act,
      records.map(({ id, was }) => ({ id, ...was })),
      reason,
    ),
}
