import type { LocalDay } from '../../domain/facts.ts'
import type { WorkParty, WorkSubject } from '../../domain/work-parties/work-party.ts'
import { seen, seenSql } from '../../platform/auth/seen.ts'
import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { notFound } from '../../platform/http/problem.ts'

type Who = Pick<Act, 'actor' | 'now'>

export type PartyRow = WorkParty & {
  readonly id: string
  readonly propertyId: string
  readonly subject: WorkSubject
  readonly subjectId: string
  readonly name: string
  readonly version: number
}

const columns = `y.id, y.property_id as "propertyId", y.subject, y.subject_id as "subjectId", y.customer_id as "customerId",
  c.name, y.part, y.first_on as "firstOn", y.last_on as "lastOn", y.version`
const listed = sql(
  'party-list',
  `select ${columns} from work_party y join customer c on c.id = y.customer_id
    where y.property_id = $1 and y.voided_at is null and ($2::text is null or y.subject = $2)
      and ($3::uuid is null or y.subject_id = $3) order by y.subject, y.subject_id, y.part, y.created_at, y.id`,
)
/** Who has a part in the work at a home the caller may see; of one piece of work where it is named. */
export const listParties = (db: Db, propertyId: string, subject: WorkSubject | null, subjectId: string | null) =>
  db.rows<PartyRow>(listed, [propertyId, subject, subjectId])

const partyById = (name: string, lock: string) =>
  sql(
    name,
    `select ${columns} from work_party y join customer c on c.id = y.customer_id
      where y.id = $1 and y.property_id = $2 and y.voided_at is null ${lock}`,
  )
const [one, locked] = [partyById('party-by-id', ''), partyById('party-lock', 'for update of y')]
const partyOf =
  (statement: typeof one) =>
  async (db: Db, propertyId: string, partyId: string): Promise<PartyRow> => {
    const party = await db.one<PartyRow>(statement, [partyId, propertyId])
    if (!party) throw notFound('party')
    return party
  }
/** One part in the work at a home the caller may see. */
export const readParty = partyOf(one)
/** The same, held until it is changed. */
export const lockParty = (tx: Tx, propertyId: string, partyId: string) => partyOf(locked)(tx, propertyId, partyId)

const insert = sql(
  'party-insert',
  `insert into work_party (id, property_id, subject, subject_id, customer_id, part, first_on, last_on, created_at)
   values ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
)
export const insertParty = (tx: Tx, now: number, party: Omit<PartyRow, 'name' | 'version'>) =>
  tx.rows(insert, [
    party.id,
    party.propertyId,
    party.subject,
    party.subjectId,
    party.customerId,
    party.part,
    party.firstOn,
    party.lastOn,
    at(now),
  ])

const end = sql('party-end', 'update work_party set last_on = $2, version = version + 1 where id = $1')
export const endPartyOn = (tx: Tx, id: string, lastOn: LocalDay) => tx.rows(end, [id, lastOn])

const markVoided = sql(
  'party-void',
  'update work_party set voided_at = $2, void_reason = $3, version = version + 1 where id = $1',
)
export const markPartyVoided = (tx: Tx, now: number, id: string, reason: string) =>
  tx.rows(markVoided, [id, at(now), reason])

/** A piece of work: what it is, at which home. */
export type Work = {
  readonly subject: WorkSubject
  readonly id: string
  readonly propertyId: string
  readonly address: string
  readonly zone: string
  readonly country: string
}

/** A piece of work is kept in the table of its name. */
const workStatement = (subject: WorkSubject) =>
  sql(
    `party-work-${subject}`,
    `select '${subject}' as subject, w.id, w.property_id as "propertyId", p.zone, p.country,
       p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address
     from ${subject} w join property p on p.id = w.property_id
     where w.id = $1 and w.voided_at is null and p.voided_at is null and ${seenSql('w.property_id', 2)}`,
  )
const works = {
  test: workStatement('test'),
  visit: workStatement('visit'),
  callback: workStatement('callback'),
  system: workStatement('system'),
}
/** The work, or null where it is out of use or not this actor's. */
export const findWork = (db: Db, who: Who, subject: WorkSubject, id: string) =>
  db.one<Work>(works[subject], [id, ...seen(who.actor, who.now)])

// Whoever is being merged into another just now is waited for, and is then not there.
const customer = sql('party-customer', 'select id from customer where id = $1 and voided_at is null for key share')
export const isKnownCustomer = async (db: Db, id: string): Promise<boolean> => (await db.one(customer, [id])) !== null

const around = sql(
  'party-choices',
  `select distinct c.id, c.name, c.email from customer c where c.voided_at is null and (
      c.id in (select a.customer_id from around_home a where a.property_id = $1 and a.until_on is null)
      or c.id in (select y.customer_id from work_party y where y.property_id = $1 and y.voided_at is null))
   order by c.name, c.id`,
)
/** Those around the home today, and whoever has had a part in its work. */
export const choosable = (db: Db, propertyId: string) =>
  db.rows<{ id: string; name: string; email: string | null }>(around, [propertyId])

const byEmail = sql(
  'party-customer-by-email',
  'select id from customer where lower(email) = lower($1) and voided_at is null order by id limit 1',
)
export const customerByEmail = async (db: Db, email: string): Promise<string | null> =>
  (await db.one<{ id: string }>(byEmail, [email]))?.id ?? null
