import { handOverCallbacks } from '../../features/callbacks/hand-over-callbacks.ts'
import { type NounParts, reference } from '../record-parts.ts'

export const callbackParts: NounParts = {
  table: 'callback',
  fields: { reportedByCustomer: reference('reported_by_customer', 'Somebody else was said to have called since.') },
  putBack: (tx, act, records, reason) =>
    handOverCallbacks(
      tx,
      act,
      records.map(({ id, was }) => ({ id, customerId: was.reportedByCustomer as string })),
      reason,
    ),
}
