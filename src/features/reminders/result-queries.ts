import type { EvaluatedTest, Obligation, Verdict } from '../../domain/answers.ts'
import type { WorkParty } from '../../domain/work-parties/work-party.ts'
import { at, type Db, sql } from '../../platform/db/client.ts'
import { partiesSql } from '../../standing/work-parties.ts'
import { ownerOn } from './owner-on.ts'

/** A test with whom its result is told, and what the home's standing says of it. */
export type ResultToTell = {
  readonly testId: string
  readonly propertyId: string
  readonly address: string
  readonly zone: string
  readonly acceptedAt: number | null
  readonly ownerId: string | null
  /** Who is named on the test: they rule whom its result may go to. */
  readonly parties: readonly (WorkParty & { readonly name: string })[]
  /** Whom it is to be told: the one asked for, else the owner. */
  readonly customerId: string | null
  readonly customerName: string
  readonly email: string | null
  readonly mailsStopped: boolean
  readonly addressRefused: boolean
  readonly test: EvaluatedTest | null
  readonly verdict: Verdict | null
  readonly owed: readonly Obligation[] | null
}

// A kept standing names a test by its id alone where the evaluation is kept beside it.
const toTell = sql(
  'results-to-tell',
  `select t.id as "testId", p.id as "propertyId", p.zone, t.accepted_at as "acceptedAt",
     p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address,
     ${ownerOn('$2')} as "ownerId", ${partiesSql(`'test'`, 't.id')} as parties,
     u.id as "customerId", coalesce(u.name, '') as "customerName", u.email,
     u.mails_stopped_at is not null as "mailsStopped", u.mail_refused_at is not null as "addressRefused",
     (select case jsonb_typeof(e) when 'object' then e
          else (select v.body::jsonb from test_evaluation v where v.test_id = t.id) end
        from jsonb_array_elements(s.body::jsonb -> 'tests') e where t.id::text in (e ->> 'testId', e #>> '{}')) as test,
     s.body::jsonb -> 'verdict' as verdict, s.body::jsonb -> 'obligations' as owed
   from test t join property p on p.id = t.property_id left join standing s on s.property_id = p.id
     left join customer u on u.id = coalesce($3::uuid, ${ownerOn('$2')})
   where t.id = $1 and t.voided_at is null and p.voided_at is null`,
)
/** For one person, or for the owner where nobody is named. */
export const resultToTell = (db: Db, testId: string, now: number, to: string | null = null) =>
  db.one<ResultToTell>(toTell, [testId, at(now), to])

const untold = sql(
  'results-untold',
  `select t.id from test t join company c on c.result_mail_on_acceptance
    where t.accepted_at > $1::timestamptz - interval '1 day' and t.accepted_at <= $1 and t.voided_at is null
      and t.import_batch_id is null and not exists (select 1 from mail m where m.id = t.id)
    order by t.accepted_at limit 50`,
)
/** Results accepted within the day that the company wants told at once and that no mail tells yet. */
export const untoldResults = async (db: Db, now: number): Promise<string[]> =>
  (await db.rows<{ id: string }>(untold, [at(now)])).map(row => row.id)

const mailed = sql('results-mailed', 'select 1 from mail where id = $1')
export const isMailed = async (db: Db, mailId: string): Promise<boolean> => (await db.one(mailed, [mailId])) !== null
