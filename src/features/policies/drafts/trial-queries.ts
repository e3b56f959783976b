import type { StandingDifference } from '../../../domain/standing/standing-difference.ts'
import { at, type Db, sql, type Tx } from '../../../platform/db/client.ts'

export type TrialState = 'running' | 'stopped' | 'finished' | 'overtaken'

/** A draft held against every home of the book, as it stands on `begunAt` or on the draft's day when that is later. */
export type Trial = {
  readonly id: string
  readonly draftId: string
  readonly draftVersion: number
  /** Which rule sets were published when it began. */
  readonly rules: string
  readonly state: TrialState
  readonly begunAt: number
  readonly movedAt: number
  /** The last home looked at, by id. */
  readonly afterId: string | null
  readonly total: number
  readonly done: number
  /** Homes that would stand otherwise; of these: another verdict, more or less owed, another day. */
  readonly changed: number
  readonly verdicts: number
  readonly duties: number
  readonly deadlines: number
}

const columns = `t.id, t.draft_id as "draftId", t.draft_version as "draftVersion", t.rules, t.state,
  t.begun_at as "begunAt", t.moved_at as "movedAt", t.after_id as "afterId", t.total, t.done, t.changed, t.verdicts,
  t.duties, t.deadlines`

const latest = sql(
  'policy-trial-latest',
  `select ${columns} from policy_trial t where t.draft_id = $1 order by t.begun_at desc, t.id desc limit 1`,
)
/** The latest trial of a draft; of an earlier version of it, perhaps. */
export const latestTrial = (db: Db, draftId: string) => db.one<Trial>(latest, [draftId])

const byId = sql('policy-trial', `select ${columns} from policy_trial t where t.id = $1`)
export const readTrial = (db: Db, id: string) => db.one<Trial>(byId, [id])

type NewTrial = Pick<Trial, 'id' | 'draftId' | 'draftVersion' | 'rules'> & { readonly staffId: string | null }
const insert = sql(
  'policy-trial-insert',
  `insert into policy_trial (id, draft_id, draft_version, rules, state, begun_at, moved_at, total, staff_id)
   select $1, $2, $3, $4, 'running', $5, $5, (select count(*) from property where voided_at is null), $6`,
)
export const insertTrial = (tx: Tx, now: number, { id, draftId, draftVersion, rules, staffId }: NewTrial) =>
  tx.rows(insert, [id, draftId, draftVersion, rules, at(now), staffId])

const stopOthers = sql(
  'policy-trial-stop',
  `update policy_trial set state = 'stopped' where draft_id = $1 and state = 'running' returning id`,
)
/** Stops whatever trial of a draft is running, where it is. */
export const stopTrials = (tx: Tx, draftId: string) => tx.rows<{ id: string }>(stopOthers, [draftId])

const resume = sql(
  'policy-trial-resume',
  `update policy_trial set state = 'running', moved_at = $2 where id = $1 and state in ('stopped', 'running')`,
)
export const resumeTrial = (tx: Tx, now: number, id: string) => tx.rows(resume, [id, at(now)])

const overtake = sql(
  'policy-trial-overtake',
  `update policy_trial set state = 'overtaken' where id = $1 and state = 'running'`,
)
export const markOvertaken = (db: Db, id: string) => db.rows(overtake, [id])

const left = sql(
  'policy-trial-left',
  `select id from policy_trial where state = 'running' and moved_at < $1 order by moved_at limit 20`,
)
/** Trials that nobody has moved on since an instant: whoever worked at them is gone. */
export const leftTrials = (db: Db, since: number) => db.rows<{ id: string }>(left, [at(since)])

const next = sql(
  'policy-trial-next',
  `select id from property where ($1::uuid is null or id > $1) and voided_at is null order by id limit $2`,
)
export const homesAfter = async (db: Db, afterId: string | null, limit: number): Promise<readonly string[]> =>
  (await db.rows<{ id: string }>(next, [afterId, limit])).map(({ id }) => id)

export type FoundHome = {
  readonly propertyId: string
  readonly verdict: boolean
  readonly duty: boolean
  readonly deadline: boolean
  readonly difference: StandingDifference
}
type Step = { readonly looked: number; readonly upTo: string | null; readonly found: readonly FoundHome[] }

// Where two work at one trial, the second finds its home passed already and changes nothing.
const move = sql(
  'policy-trial-move',
  `with found as (
     select * from jsonb_to_recordset($6::jsonb) as f("propertyId" uuid, verdict boolean, duty boolean, deadline boolean,
       difference jsonb)),
   moved as (
     update policy_trial t set after_id = coalesce($3, t.after_id), done = t.done + $4, moved_at = $5,
       state = case when $3::uuid is null then 'finished' else t.state end,
       changed = t.changed + (select count(*) from found), verdicts = t.verdicts + (select count(*) from found where verdict),
       duties = t.duties + (select count(*) from found where duty),
       deadlines = t.deadlines + (select count(*) from found where deadline)
      where t.id = $1 and t.state = 'running' and t.after_id is not distinct from $2 returning t.id),
   kept as (
     insert into policy_trial_home (trial_id, property_id, verdict, duty, deadline, difference)
     select m.id, f."propertyId", f.verdict, f.duty, f.deadline, f.difference from moved m, found f)
   select id from moved`,
)
/** Keeps what a stretch of homes gave and goes behind it, in one statement; `upTo` null ends the trial. Gives whether it was ours to do. */
export const moveTrial = async (db: Db, now: number, trial: Trial, { looked, upTo, found }: Step): Promise<boolean> =>
  (await db.one(move, [trial.id, trial.afterId, upTo, looked, at(now), JSON.stringify(found)])) !== null

export type ListedHome = Omit<FoundHome, 'propertyId'> & {
  readonly propertyId: string
  readonly street: string
  readonly city: string
  readonly region: string
  readonly postcode: string
}
const homes = sql(
  'policy-trial-homes',
  `select h.property_id as "propertyId", h.verdict, h.duty, h.deadline, h.difference,
     concat_ws(', ', p.street, nullif(p.unit, '')) as street, p.city, p.region, p.postcode
   from policy_trial_home h join property p on p.id = h.property_id
   where h.trial_id = $1 and ($2::uuid is null or h.property_id > $2)
     and ($3 = '' or ($3 = 'verdict' and h.verdict) or ($3 = 'duty' and h.duty) or ($3 = 'deadline' and h.deadline))
   order by h.property_id limit $4`,
)
export type Kind = '' | 'verdict' | 'duty' | 'deadline'
/** Homes that would stand otherwise, by id from behind `after` on. */
export const changedHomes = (db: Db, trialId: string, after: string | null, kind: Kind, limit: number) =>
  db.rows<ListedHome>(homes, [trialId, after, kind, limit])

const address = sql(
  'policy-trial-address',
  `select concat_ws(', ', street, nullif(unit, ''), city) as address from property where id = $1`,
)
/** A home's address in a line. */
export const addressOf = async (db: Db, id: string) =>
  (await db.one<{ address: string }>(address, [id]))?.address ?? null

const standing = sql(
  'policy-restanding',
  `select count(*)::int as total, count(*) filter (where stale_since is not null)::int as waiting from standing`,
)
/** How many homes wait to be stood anew, of how many. */
export const restandingOf = async (db: Db) =>
  (await db.one<{ total: number; waiting: number }>(standing)) ?? { total: 0, waiting: 0 }
