import { z } from 'zod'
import type { Tx } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import type { Prepared } from './correction-rows.ts'
import { mergeCustomers } from './kinds/merge-customers.ts'
import { mergeCustomersIn } from './kinds/merge-customers-body.ts'
import { mergeHomes } from './kinds/merge-homes.ts'
import { mergeHomesIn } from './kinds/merge-homes-body.ts'
import { move } from './kinds/move.ts'
import { moveIn } from './kinds/move-body.ts'
import { readAgain } from './kinds/read-again.ts'
import { readAgainIn } from './kinds/read-again-body.ts'
import { voidRecord } from './kinds/void.ts'
import { voidIn } from './kinds/void-body.ts'

/** What somebody asks to have put right, by its kind. */
export const correctionIn = z.discriminatedUnion('kind', [voidIn, moveIn, mergeHomesIn, mergeCustomersIn, readAgainIn])
export type CorrectionIn = z.output<typeof correctionIn>

/** Looks at what is to be put right, holds it, and refuses what can not be. */
export function prepare(tx: Tx, act: Act, asked: CorrectionIn): Promise<Prepared> {
  switch (asked.kind) {
    case 'void':
      return voidRecord(tx, act, asked)
    case 'merge-homes':
      return mergeHomes(tx, act, asked)
    case 'move':
      return move(tx, act, asked)
    case 'merge-customers':
      return mergeCustomers(tx, act, asked)
    case 'read-again':
      return readAgain(tx, act, asked)
  }
}
