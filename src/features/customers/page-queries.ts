import type { VerdictOutcome } from '../../domain/answers.ts'
import type { LocalDay } from '../../domain/facts.ts'
import { type Db, sql } from '../../platform/db/client.ts'

export type HomeOfCustomer = {
  readonly propertyId: string
  readonly street: string
  readonly city: string
  readonly role: string
  readonly fromOn: string | null
  readonly untilOn: string | null
  readonly outcome: VerdictOutcome | null
  readonly nextDueOn: LocalDay | null
}
export type MailToCustomer = {
  readonly id: string
  readonly subject: string
  readonly state: string
  readonly at: number
}
export type Around = { readonly homes: readonly HomeOfCustomer[]; readonly mails: readonly MailToCustomer[] }

const around = sql(
  'customer-around',
  `select (select coalesce(json_agg(json_build_object('propertyId', p.id, 'street', concat_ws(' ', p.street, nullif(p.unit, '')),
       'city', p.city, 'role', a.role, 'fromOn', a.from_on, 'untilOn', a.until_on, 'outcome', k.outcome, 'nextDueOn', k.next_due_on)
         order by a.until_on desc nulls first, k.next_due_on nulls last, p.street, length(p.unit), p.unit, p.id), '[]')
     from around_home a join property p on p.id = a.property_id left join standing k on k.property_id = p.id
     where a.customer_id = $1 and p.voided_at is null) as homes,
   (select coalesce(json_agg(m order by m.at desc), '[]') from (
       select id, subject, state, (extract(epoch from coalesce(sent_at, created_at)) * 1000)::bigint as at
         from mail where customer_id = $1 order by created_at desc limit 50) m) as mails`,
)
/** Homes of a customer, today's before former ones, each by what is due first, and the last fifty mails to them. */
export const readAround = async (db: Db, customerId: string): Promise<Around> =>
  (await db.one<Around>(around, [customerId]))!
