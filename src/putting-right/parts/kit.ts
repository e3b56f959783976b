import { handOverKits } from '../../features/devices/hand-over-kits.ts'
import { type NounParts, reference } from '../record-parts.ts'

export const kitParts: NounParts = {
  table: 'kit',
  fields: { customerId: reference('customer_id', 'A kit was said to be left with somebody else since.') },
  putBack: (tx, act, records, reason) =>
    handOverKits(
      tx,
      act,
      records.map(({ id, was }) => ({ id, customerId: was.customerId as string })),
      reason,
    ),
}
