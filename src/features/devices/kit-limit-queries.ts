import type { z } from 'zod'
import type { KitLimits } from '../../domain/devices/kit-facts.ts'
import type { Instant } from '../../domain/facts.ts'
import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { notFound, stale } from '../../platform/http/problem.ts'
import type { KitLimitChange, kitMethod } from './kit-schemas.ts'

export type KitLimitRow = KitLimits & {
  readonly id: string
  readonly method: z.output<typeof kitMethod>
  readonly source: string
  readonly version: number
  readonly updatedAt: Instant
}

const columns = `id, method, ask_after_days as "askAfterDays", longest_exposure_days as "longestExposureDays",
  laboratory_within_days as "laboratoryWithinDays", answer_within_days as "answerWithinDays", source, version,
  updated_at as "updatedAt"`
const all = sql('kit-limits', `select ${columns} from kit_limit order by method`)
/** What the company expects of each kind of kit. */
export const kitLimits = (db: Db) => db.rows<KitLimitRow>(all)

const byMethod = sql('kit-limit', `select ${columns} from kit_limit where method = $1`)
export async function readKitLimit(db: Db, method: string): Promise<KitLimitRow> {
  const limit = await db.one<KitLimitRow>(byMethod, [method])
  if (!limit) throw notFound('kind of kit')
  return limit
}

const lock = sql('kit-limit-lock', `select ${columns} from kit_limit where method = $1 for update`)
const update = sql(
  'kit-limit-update',
  `update kit_limit set ask_after_days = $2, longest_exposure_days = $3, laboratory_within_days = $4,
     answer_within_days = $5, source = $6, version = version + 1, updated_at = $7 where method = $1`,
)
/** The company expects something else of a kind of kit from now on. */
export async function changeKitLimit(
  tx: Tx,
  act: Act,
  method: string,
  version: number,
  change: KitLimitChange,
): Promise<void> {
  const was = await tx.one<KitLimitRow>(lock, [method])
  if (!was) throw notFound('kind of kit')
  if (was.version !== version) throw stale(was.version)
  const said = Object.fromEntries(Object.entries(change).filter(([, value]) => value !== undefined))
  const { askAfterDays, longestExposureDays, laboratoryWithinDays, answerWithinDays, source } = { ...was, ...said }
  const days = [askAfterDays, longestExposureDays, laboratoryWithinDays, answerWithinDays]
  await tx.rows(update, [method, ...days, source, at(act.now)])
  const fields = Object.keys(said)
  await recordWrite(tx, act, { action: 'correct', noun: 'kit-limit', id: was.id, version: version + 1, fields, was })
}
