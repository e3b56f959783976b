import type { WorkParty, WorkSubject } from '../domain/work-parties/work-party.ts'
import { at, type Db, sql } from '../platform/db/client.ts'

export type NamedParty = WorkParty & { readonly id: string; readonly name: string; readonly version: number }
/** Who has a part in a piece of work, and who owns its home. */
export type PartiesOfWork = {
  readonly parties: readonly NamedParty[]
  readonly owner: { readonly id: string; readonly name: string } | null
}

/** SQL: the parties of a piece of work, as JSON; `subject` and `id` are expressions. */
export const partiesSql = (subject: string, id: string): string =>
  `(select coalesce(json_agg(json_build_object('id', y.id, 'customerId', y.customer_id, 'name', c.name, 'part', y.part,
       'firstOn', y.first_on, 'lastOn', y.last_on, 'version', y.version) order by y.part, y.created_at, y.id), '[]')
     from work_party y join customer c on c.id = y.customer_id
    where y.subject_id = ${id} and y.subject = ${subject} and y.voided_at is null)`

const ofWork = sql(
  'standing-work-parties',
  `select ${partiesSql('$1', '$2')} as parties,
     (select json_build_object('id', c.id, 'name', c.name) from ownership w join customer c on c.id = w.customer_id
       join property p on p.id = w.property_id
      where w.property_id = $3 and w.voided_at is null
        and (w.from_on is null or w.from_on <= ($4::timestamptz at time zone p.zone)::date)
        and (w.until_on is null or w.until_on > ($4::timestamptz at time zone p.zone)::date)
      order by w.from_on desc nulls last limit 1) as owner`,
)
/** Of work at a home the caller may see, in one statement. */
export const readPartiesOf = async (
  db: Db,
  work: { readonly subject: WorkSubject; readonly id: string; readonly propertyId: string },
  now: number,
): Promise<PartiesOfWork> => (await db.one<PartiesOfWork>(ofWork, [work.subject, work.id, work.propertyId, at(now)]))!
