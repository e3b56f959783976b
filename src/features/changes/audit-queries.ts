import type { Instant } from '../../domain/facts.ts'
import { type Db, sql } from '../../platform/db/client.ts'
import type { AuditQuery } from './schemas.ts'

export type AuditLine = {
  seq: string
  at: Instant
  actorKind: string
  who: string | null
  action: string
  noun: string
  nounId: string | null
  what: string | null
  propertyId: string | null
  fields: string[]
  requestId: string
}

// Names are as they are today; the row itself holds ids only.
const newest = sql(
  'audit-newest',
  `select a.seq::text, a.at, a.actor_kind as "actorKind",
     coalesce(s.name, p.name, c.name) as who, a.action, a.noun, a.noun_id as "nounId",
     case a.noun
       when 'customer' then (select name from customer where id = a.noun_id)
       when 'staff' then (select name from staff where id = a.noun_id)
       when 'app' then (select name from app where id = a.noun_id)
       else h.street || case when h.unit = '' then '' else ', ' || h.unit end || ', ' || h.city end as what,
     a.property_id as "propertyId", a.fields, a.request_id as "requestId"
   from audit a
     left join staff s on a.actor_kind = 'staff' and s.id = a.actor_id
     left join app p on a.actor_kind = 'app' and p.id = a.actor_id
     left join customer c on a.actor_kind = 'homeowner' and c.id = a.actor_id
     left join property h on h.id = a.property_id
   where ($1 = '' or a.actor_kind = $1)
     and ($2 = '' or (a.action = 'read') = ($2 = 'read'))
     and ($3::bigint is null or a.seq < $3)
   order by a.seq desc limit $4`,
)

/** Lines of the audit log, newest first; one more than `limit` tells that more follow. */
export const listAudit = (db: Db, query: AuditQuery, limit: number) =>
  db.rows<AuditLine>(newest, [query.who, query.what, query.after === '' ? null : query.after, limit + 1])
