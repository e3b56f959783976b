import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'

export type MadeNoun =
  | 'property'
  /** A year filled in at a home on record; named by the home. */
  | 'year_built'
  | 'foundation_area'
  | 'customer'
  | 'ownership'
  | 'property_person'
  | 'system'
  | 'part'
  | 'test'
  | 'note'
export type Made = { readonly noun: MadeNoun; readonly id: string; readonly propertyId: string | null }

const insertMade = sql(
  'import-insert-made',
  `insert into import_made (import_id, noun, noun_id, property_id)
   select $1, m.noun, m.id, m."propertyId" from jsonb_to_recordset($2::jsonb) as m(noun text, id uuid, "propertyId" uuid)`,
)
/** Keeps what an import made. */
export const keepMade = (tx: Tx, importId: string, made: readonly Made[]) =>
  tx.rows(insertMade, [importId, JSON.stringify(made)])

const homesOf = sql(
  'import-made-homes',
  'select distinct property_id as id from import_made where import_id = $1 and property_id is not null order by 1',
)
/** The homes an import wrote to. */
export const homesMadeBy = async (db: Db, importId: string): Promise<readonly string[]> =>
  (await db.rows<{ id: string }>(homesOf, [importId])).map(({ id }) => id)

const atHomes = sql(
  'import-made-at-homes',
  `select noun, noun_id as id, property_id as "propertyId" from import_made
    where import_id = $1 and property_id = any($2::uuid[]) order by noun_id`,
)
/** What an import made at some of its homes. */
export const madeAt = (db: Db, importId: string, homes: readonly string[]) => db.rows<Made>(atHomes, [importId, homes])

const customersOf = sql(
  'import-made-customers',
  `select noun_id as id from import_made where import_id = $1 and noun = 'customer' order by 1`,
)
export const customersMadeBy = async (db: Db, importId: string): Promise<readonly string[]> =>
  (await db.rows<{ id: string }>(customersOf, [importId])).map(({ id }) => id)

const hold = sql(
  'import-hold-reminders',
  `insert into reminder_hold (property_id, import_id, since) select p, $1, $3 from unnest($2::uuid[]) p
   on conflict (property_id) do update set import_id = excluded.import_id, since = excluded.since`,
)
/** Holds the reminders of homes until the office has looked at the import. */
export const holdReminders = (tx: Tx, importId: string, homes: readonly string[], now: number) =>
  tx.rows(hold, [importId, homes, at(now)])

const release = sql('import-release-reminders', 'delete from reminder_hold where import_id = $1 returning property_id')
/** Lets the reminders of an import's homes go; gives of how many. */
export const releaseHeld = async (tx: Tx, importId: string): Promise<number> =>
  (await tx.rows(release, [importId])).length

const releaseSome = sql(
  'import-release-some-reminders',
  'delete from reminder_hold where import_id = $1 and property_id = any($2::uuid[])',
)
/** The same for some of its homes. */
export const releaseHomesOf = (tx: Tx, importId: string, homes: readonly string[]) =>
  tx.rows(releaseSome, [importId, homes])

const held = sql(
  'import-held-reminders',
  `select count(distinct h.property_id)::int as homes,
     count(distinct o.property_id) filter (where o.next_remind_at <= $2)::int as "dueNow",
     count(distinct o.property_id) filter (where o.next_remind_at <= $2 and c.email is not null
       and c.mails_stopped_at is null and c.mail_refused_at is null and c.preferred_channel = 'email')::int as "byMail"
   from held_home h join property p on p.id = h.property_id and p.voided_at is null
     left join obligation o on o.property_id = h.property_id and o.fulfilled_at is null and o.owed_by = 'homeowner'
     left join ownership w on w.property_id = h.property_id and w.until_on is null and w.voided_at is null
     left join customer c on c.id = w.customer_id
   where h.import_id = $1`,
)
export type Held = {
  readonly homes: number
  /** Homes a reminder would go out for at once. */
  readonly dueNow: number
  /** Of these, homes whose owner a mail can reach. */
  readonly byMail: number
}
export const heldReminders = async (db: Db, importId: string, now: number): Promise<Held> =>
  (await db.one<Held>(held, [importId, at(now)])) ?? { homes: 0, dueNow: 0, byMail: 0 }

// What somebody has done since with what an import made; of a home that it took up, anything else that hangs on it.
const touched = sql(
  'import-touched-homes',
  `with m as materialized (select noun, noun_id, property_id from import_made
     where import_id = $1 and property_id = any($2::uuid[])),
   taken as (select noun_id as id from m where noun = 'property'),
   made as (select noun_id as id from m),
   why as (
     select s.property_id, 'its system was changed' as why from system s where s.version > 1 and s.voided_at is null
        and s.id in (select noun_id from m where noun = 'system')
     union all select t.property_id, 'a test of it was changed' from test t where t.version > 1 and t.voided_at is null
        and t.id in (select noun_id from m where noun = 'test')
     union all select o.property_id, 'its owner was changed' from ownership o where o.version > 1 and o.voided_at is null
        and o.id in (select noun_id from m where noun = 'ownership')
     union all select t.property_id, 'a test belongs to its system' from test t where t.voided_at is null
        and t.system_id in (select id from made) and t.id not in (select id from made)
     union all select p.id, 'it was changed' from property p where p.version > 1 and p.id in (select id from taken)
     union all select r.noun_id, 'its year was changed' from fact_revision r
        join import_batch b on b.id = $1 and r.at > b.committed_at
        where r.noun = 'property' and r.was ? 'yearBuilt' and r.noun_id in (select noun_id from m where noun = 'year_built')
     union all select f.property_id, 'its foundation was changed' from foundation_area f where f.version > 1
        and f.voided_at is null and f.id in (select noun_id from m where noun = 'foundation_area')
     union all select l.property_id, 'a room of it was put on its foundation' from test_location l where l.voided_at is null
        and l.foundation_area_id in (select noun_id from m where noun = 'foundation_area')
     union all select v.property_id, 'a visit belongs to it' from visit v where v.property_id in (select id from taken)
     union all select c.property_id, 'a callback belongs to it' from callback c where c.property_id in (select id from taken)
     union all select t.property_id, 'a test was recorded' from test t where t.voided_at is null
        and t.property_id in (select id from taken) and t.id not in (select id from made)
     union all select s.property_id, 'a system was recorded' from system s where s.voided_at is null
        and s.property_id in (select id from taken) and s.id not in (select id from made)
     union all select a.property_id, 'people were put around it' from around_home a
        where a.property_id in (select id from taken) and a.id not in (select id from made)
     union all select n.property_id, 'a note was written' from note n where n.voided_at is null
        and n.property_id in (select id from taken) and n.id not in (select id from made)
     union all select e.property_id, 'something happened at it' from home_event e where e.voided_at is null
        and e.property_id in (select id from taken)
     union all select l.property_id, 'its owner was sent a link' from homeowner_link l
        where l.property_id in (select id from taken))
   select w.property_id as "propertyId", min(w.why) as why,
     p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address
     from why w join property p on p.id = w.property_id where p.voided_at is null group by w.property_id, p.id
    order by address`,
)
export type TouchedHome = { readonly propertyId: string; readonly why: string; readonly address: string }
/** Those of an import's homes that were worked with since, each with what speaks against taking it back. */
export const touchedHomes = (db: Db, importId: string, homes: readonly string[]) =>
  db.rows<TouchedHome>(touched, [importId, homes])

const versions = sql(
  'import-home-versions',
  'select id, version from property where id = any($1::uuid[]) and voided_at is null order by id',
)
export const homeVersions = (db: Db, ids: readonly string[]) =>
  db.rows<{ id: string; version: number }>(versions, [ids])

const aroundNothing = sql(
  'import-people-around-nothing',
  `select c.id from customer c where c.id = any($1::uuid[]) and c.voided_at is null and c.version = 1
      and not exists (select 1 from around_home a where a.customer_id = c.id) order by c.id`,
)
/** Of customers, those who are around no home and whom nobody has changed. */
export const aroundNoHome = async (db: Db, ids: readonly string[]): Promise<string[]> =>
  (await db.rows<{ id: string }>(aroundNothing, [ids])).map(({ id }) => id)
