import { handOverParties } from '../../features/parties/hand-over-parties.ts'
import { instant, type NounParts, reference } from '../record-parts.ts'

export const workPartyParts: NounParts = {
  table: 'work_party',
  fields: {
    customerId: reference('customer_id', 'A part in a piece of work was said to be somebody else’s since.'),
    lastOn: reference('last_on', 'The last day of a part in a piece of work was changed since.'),
    voidedAt: instant('voided_at', 'A part in a piece of work was taken back, or put in again, since.'),
  },
  putBack: (tx, act, records, reason) =>
    handOverParties(
      tx,
      act,
      records.map(({ id, was }) => ({ id, ...was })),
      reason,
    ),
}
