import { z } from 'zod'
import type { Tx } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import type { Prepared } from './correction-rows.ts'
import { move } from './kinds/move.ts'
import { moveIn } from './kinds/move-body.ts'
import { voidRecord } from './kinds/void.ts'
import { voidIn } from './kinds/void-body.ts'

/** What somebody asks to have put right, by its kind. */
export const correctionIn = z.discriminatedUnion('kind', [voidIn, moveIn])
export type CorrectionIn = z.output<typeof correctionIn>

/** Looks at what is to be put right, holds it, and refuses what can not be. */
export function prepare(tx: Tx, act: Act, asked: CorrectionIn): Promise<Prepared> {
  return asked.kind === 'void' ? voidRecord(tx, act, asked) : move(tx, act, asked)
}
