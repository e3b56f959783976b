import type { Obligation } from '../domain/answers.ts'
import type { Instant } from '../domain/facts.ts'
import { at, sql, type Tx } from '../platform/db/client.ts'
import { type Act, feed, trace, traceOf, type Write, writtenFeed } from '../platform/db/record-write.ts'
import { newId } from '../platform/ids.ts'

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

// The limits cut nothing off: from a limit that it does not know the planner expects ten rows, and looks them up in an
// index; from the hundred it expects of a record set it would read the whole of a table of some thousand rows.
// Whoever writes here holds the homes: a row that is not there will not come meanwhile, and the sweep writes no notice.
// What is owed as before is not written again.
const evaluated = `
   evaluated as (
     insert into test_evaluation (test_id, key, body)
     select * from jsonb_to_recordset($6::jsonb) as i("testId" uuid, key text, body text)
     on conflict (test_id) do update set key = excluded.key, body = excluded.body)`

const stood = `
   stood as (
     select * from jsonb_to_recordset($7::jsonb) as i(property_id uuid, body text, outcome text,
       next_change_at timestamptz, next_due_on date, engine_version int) limit $9),
   restood as (
     update standing s set body = i.body, outcome = i.outcome, next_change_at = i.next_change_at,
       next_due_on = i.next_due_on, engine_version = i.engine_version, stale_since = null, version = s.version + 1,
       computed_at = $2
     from stood i where s.property_id = i.property_id returning s.property_id, s.version),
   newly as (
     insert into standing (property_id, body, outcome, next_change_at, next_due_on, engine_version, version, computed_at)
     select property_id, body, outcome, next_change_at, next_due_on, engine_version, 1, $2 from stood i
      where not exists (select 1 from standing s where s.property_id = i.property_id) returning property_id, version),
   saved as (select * from restood union all select * from newly)`

// The sweep looks at `next_remind_at` alone: the first rung of this round that no notice stands for. An obligation that
// is no longer answered by the standing has been met, or its cause is gone.
const owed = `
   owed as (
     select * from jsonb_to_recordset($8::jsonb) as i(id uuid, property_id uuid, kind text, cause_id uuid,
       earliest_on date, due_on date, due_at timestamptz, remind_at timestamptz[], round int, because jsonb,
       owed_by text, recommended boolean) limit $10),
   ended as (
     update obligation o set fulfilled_at = $2, updated_at = $2, next_remind_at = null
      where o.property_id in (select property_id from stood) and o.fulfilled_at is null
        and not exists (select 1 from owed i where i.property_id = o.property_id and i.kind = o.kind and i.cause_id = o.cause_id)),
   moved as (
     update obligation o set earliest_on = i.earliest_on, due_on = i.due_on, due_at = i.due_at, remind_at = i.remind_at,
       round = i.round, because = i.because, owed_by = i.owed_by, recommended = i.recommended, fulfilled_at = null,
       updated_at = $2,
       next_remind_at = (select min(g.at) from unnest(i.remind_at) with ordinality g(at, rung)
         where not exists (select 1 from notice n where n.obligation_id = o.id and n.round = i.round and n.rung = g.rung))
     from owed i where o.property_id = i.property_id and o.kind = i.kind and o.cause_id = i.cause_id
       and (o.fulfilled_at is not null
         or (o.earliest_on, o.due_on, o.due_at, o.remind_at, o.round, o.because, o.owed_by, o.recommended) is distinct from
            (i.earliest_on, i.due_on, i.due_at, i.remind_at, i.round, i.because, i.owed_by, i.recommended))),
   added as (
     insert into obligation (id, property_id, kind, cause_id, earliest_on, due_on, due_at, remind_at, next_remind_at,
       round, because, owed_by, recommended, created_at, updated_at)
     select i.id, i.property_id, i.kind, i.cause_id, i.earliest_on, i.due_on, i.due_at, i.remind_at,
       (select min(at) from unnest(i.remind_at) at), i.round, i.because, i.owed_by, i.recommended, $2, $2 from owed i
      where not exists (select 1 from obligation o
        where o.property_id = i.property_id and o.kind = i.kind and o.cause_id = i.cause_id))`

const stoodFeed =
  "select 'correct', 'standing', property_id, property_id, version, 1, row_number() over (order by property_id) from saved"

const save = sql(
  'standing-save',
  `with ${trace},${evaluated},${stood},${owed},
   fed as (${feed(`${writtenFeed} union all ${stoodFeed}`)})
   select property_id as "propertyId", version from saved`,
)

export type ToSave = {
  readonly evaluations: readonly EvaluationRow[]
  readonly standings: readonly StandingRow[]
  /** All that is owed at the homes of these standings. */
  readonly obligations: readonly ObligationRow[]
  /** The writes of facts that led here, whose trace is still to be left. */
  readonly writes: readonly Write[]
}

/**
 * Leaves the trace of the writes that led here, writes evaluations and changed standings, brings the obligations of their homes to what they say (added, moved,
 * ended), tells the change feed of each standing, and gives each one's new version.
 */
export async function saveStandings(
  tx: Tx,
  act: Pick<Act, 'now'> & Partial<Act>,
  made: ToSave,
): Promise<ReadonlyMap<string, number>> {
  if (made.standings.length + made.evaluations.length + made.writes.length === 0) return new Map()
  const saved = await tx.rows<{ propertyId: string; version: number }>(save, [
    ...traceOf(act, made.writes),
    JSON.stringify(made.evaluations),
    JSON.stringify(made.standings.map(standingInput)),
    JSON.stringify(made.obligations.map(obligationInput)),
    made.standings.length,
    made.obligations.length,
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
