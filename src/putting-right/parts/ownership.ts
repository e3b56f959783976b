import { giveBackOwnerships } from '../../features/properties/hand-over-homes.ts'
import { instant, type NounParts, reference } from '../record-parts.ts'

export const ownershipParts: NounParts = {
  table: 'ownership',
  fields: {
    customerId: reference('customer_id', 'A home of theirs was said to be somebody else’s since.'),
    propertyId: reference('property_id', 'An ownership was put to another home since.'),
    fromOn: reference('from_on', 'The first day of an ownership was changed since.'),
    untilOn: reference('until_on', 'A home of theirs was sold, or its ownership changed, since.'),
    voidedAt: instant('voided_at', 'An ownership was taken back, or put in again, since.'),
  },
  putBack: (tx, act, records, reason) =>
    giveBackOwnerships(
      tx,
      act,
      records.map(({ id, was }) => ({ id, ...was })),
      reason,
    ),
}
