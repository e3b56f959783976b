import type { Obligation } from '../domain/answers.ts'
import type { Instant } from '../domain/facts.ts'
import { at, sql, type Tx } from '../platform/db/client.ts'
import { newId } from '../platform/ids.ts'
import { feedOf } from './changes.ts'

export type StandingRow = {
  readonly propertyId: string
  readonly body: string
  readonly outcome: string
  readonly nextChangeAt: Instant | null
  readonly nextDueOn: string | null
  readonly engineVersion: number
}
export type ObligationRow = Obligation & { readonly propertyId: string; readonly round: number }
export type EvaluationRow = { readonly testId: string; readonly key: string; readonly body: string }

const iso = (instant: Instant | null) => (instant === null ? null : at(instant).toISOString())

// One statement for all that follows from the facts. The sweep looks at an obligation's `next_remind_at` alone: the first
// rung of this round that no notice stands for; the lock on the home keeps the sweep from writing a notice meanwhile. An
// obligation that is no longer answered by the standing has been met, or its cause is gone. One that is as it was is not
// written again.
const save = sql(
  'standing-save',
  `with evaluated as (
     insert into test_evaluation (test_id, key, body)
     select * from jsonb_to_recordset($2::jsonb) as i("testId" uuid, key text, body text)
     on conflict (test_id) do update set key = excluded.key, body = excluded.body),
   stood as (
     select * from jsonb_to_recordset($3::jsonb) as i(property_id uuid, body text, outcome text,
       next_change_at timestamptz, next_due_on date, engine_version int)),
   owed as (
     select * from jsonb_to_recordset($4::jsonb) as i(id uuid, property_id uuid, kind text, cause_id uuid,
       earliest_on date, due_on date, due_at timestamptz, remind_at timestamptz[], round int, because jsonb,
       owed_by text, recommended boolean)),
   ended as (
     update obligation o set fulfilled_at = $1, updated_at = $1, next_remind_at = null
      where o.property_id in (select property_id from stood) and o.fulfilled_at is null
        and not exists (select 1 from owed i where i.property_id = o.property_id and i.kind = o.kind and i.cause_id = o.cause_id)),
   brought as (
     insert into obligation (id, property_id, kind, cause_id, earliest_on, due_on, due_at, remind_at, next_remind_at,
       round, because, owed_by, recommended, created_at, updated_at)
     select i.id, i.property_id, i.kind, i.cause_id, i.earliest_on, i.due_on, i.due_at, i.remind_at,
       (select min(at) from unnest(i.remind_at) at), i.round, i.because, i.owed_by, i.recommended, $1, $1 from owed i
      where not exists (select 1 from obligation o
        where o.property_id = i.property_id and o.kind = i.kind and o.cause_id = i.cause_id and o.fulfilled_at is null
          and (o.earliest_on, o.due_on, o.due_at, o.remind_at, o.round, o.because, o.owed_by, o.recommended)
            is not distinct from
            (i.earliest_on, i.due_on, i.due_at, i.remind_at, i.round, i.because, i.owed_by, i.recommended))
     on conflict (property_id, kind, cause_id) do update set earliest_on = excluded.earliest_on,
       due_on = excluded.due_on, due_at = excluded.due_at, remind_at = excluded.remind_at, round = excluded.round,
       because = excluded.because, owed_by = excluded.owed_by, recommended = excluded.recommended, fulfilled_at = null,
       updated_at = excluded.updated_at,
       next_remind_at = (select min(g.at) from unnest(excluded.remind_at) with ordinality g(at, rung)
         where not exists (select 1 from notice n
           where n.obligation_id = obligation.id and n.round = excluded.round and n.rung = g.rung))),
   saved as (
     insert into standing (property_id, body, outcome, next_change_at, next_due_on, engine_version, version, computed_at)
     select property_id, body, outcome, next_change_at, next_due_on, engine_version, 1, $1 from stood
     on conflict (property_id) do update set body = excluded.body, outcome = excluded.outcome,
       next_change_at = excluded.next_change_at, next_due_on = excluded.next_due_on, stale_since = null,
       engine_version = excluded.engine_version, version = standing.version + 1, computed_at = excluded.computed_at
     returning property_id, version),
   fed as (${feedOf('select property_id, version from saved', '$1')})
   select property_id as "propertyId", version from saved`,
)

export type ToSave = {
  readonly evaluations: readonly EvaluationRow[]
  readonly standings: readonly StandingRow[]
  /** All that is owed at the homes of these standings. */
  readonly obligations: readonly ObligationRow[]
}

/**
 * Writes evaluations and changed standings, brings the obligations of their homes to what they say (added, moved,
 * ended), tells the change feed of each standing, and gives each one's new version.
 */
export async function saveStandings(tx: Tx, now: Instant, made: ToSave): Promise<ReadonlyMap<string, number>> {
  if (made.standings.length === 0 && made.evaluations.length === 0) return new Map()
  const saved = await tx.rows<{ propertyId: string; version: number }>(save, [
    at(now),
    JSON.stringify(made.evaluations),
    JSON.stringify(made.standings.map(standingInput)),
    JSON.stringify(made.obligations.map(obligationInput)),
  ])
  return new Map(saved.map(row => [row.propertyId, row.version]))
}

const standingInput = (row: StandingRow) => ({
  property_id: row.propertyId,
  body: row.body,
  outcome: row.outcome,
  next_change_at: iso(row.nextChangeAt),
  next_due_on: row.nextDueOn,
  engine_version: row.engineVersion,
})

// The rules and the working behind it are in the standing; mails and the day's page say why in words.
const obligationInput = (row: ObligationRow) => ({
  id: newId(),
  property_id: row.propertyId,
  kind: row.kind,
  cause_id: row.causeId,
  earliest_on: row.earliestOn,
  due_on: row.dueOn,
  due_at: iso(row.dueAt),
  remind_at: row.remindAt.map(iso),
  round: row.round,
  because: [...new Set(row.because.map(({ text }) => text))].map(text => ({ text })),
  owed_by: row.owedBy,
  recommended: row.recommended,
})

const unmarkStale = sql(
  'standing-unmark-stale',
  'update standing set stale_since = null where property_id = any($1::uuid[]) and stale_since is not null',
)
export const confirmStandings = (tx: Tx, propertyIds: readonly string[]) => tx.rows(unmarkStale, [propertyIds])
