import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrites, type Write } from '../../platform/db/record-write.ts'
import { newId } from '../../platform/ids.ts'
import {
  type CustomerChange,
  type FormerDetail,
  handOverFormerDetails,
  insertFormerDetails,
  setCustomers,
  voidFormerDetails,
} from './merge-queries.ts'

/**
 * Puts fields of customers to what they are to be, as part of merging two or of taking that back; `mergedIntoId` says
 * of one that is voided where it went.
 */
export async function changeCustomers(
  tx: Tx,
  act: Act,
  changes: readonly CustomerChange[],
  reason: string,
): Promise<void> {
  if (changes.length === 0) return
  const versions = new Map((await setCustomers(tx, act.now, changes)).map(row => [row.id, row.version]))
  await recordWrites(
    tx,
    act,
    changes.map(change => {
      const { id, ...fields } = change
      return {
        ...{ noun: 'customer', id, reason },
        action: actionOf(change),
        version: versions.get(id) ?? null,
        fields: Object.keys(fields),
      }
    }),
  )
}

const actionOf = ({ voidedAt }: CustomerChange): Write['action'] =>
  voidedAt === undefined ? 'correct' : voidedAt === null ? 'restore' : 'void'

/** Keeps by what else a customer is to be found; gives the ids. */
export async function keepFormerDetails(
  tx: Tx,
  act: Act,
  whose: Pick<FormerDetail, 'customerId' | 'doubledId'>,
  details: readonly Pick<FormerDetail, 'field' | 'value'>[],
): Promise<readonly string[]> {
  const rows = details.map(detail => ({ ...detail, ...whose, id: newId() }))
  if (rows.length > 0) await insertFormerDetails(tx, act.now, rows)
  return rows.map(({ id }) => id)
}

/** Lets somebody no longer be found by these. */
export async function forgetFormerDetails(tx: Tx, act: Act, ids: readonly string[]): Promise<void> {
  if (ids.length > 0) await voidFormerDetails(tx, act.now, ids)
}

/** Lets these find somebody else from now on. */
export async function passOnFormerDetails(
  tx: Tx,
  rows: readonly { readonly id: string; readonly customerId: string }[],
): Promise<void> {
  if (rows.length > 0) await handOverFormerDetails(tx, rows)
}
