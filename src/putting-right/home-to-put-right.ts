import { holdProperty, readProperty } from '../features/properties/queries.ts'
import type { Tx } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'

/** A home in use that is to be put right as a whole, held. */
export async function homeToPutRight(tx: Tx, act: Act, id: string) {
  await holdProperty(tx, act, id)
  const { street, unit, city, version } = await readProperty(tx, act, id)
  return { id, version, address: [[street, unit].filter(Boolean).join(' '), city].filter(Boolean).join(', ') }
}
