import type { EvaluatedTest } from '../../domain/answers.ts'
import { seen } from '../../platform/auth/seen.ts'
import { type Db, type Statement, sql } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { KeptText } from '../../standing/kept-text.ts'
import { propertyColumns, visible } from './queries.ts'
import type { Property } from './rows.ts'
import type { sectionOfHome } from './section-of-home.ts'

type Who = Pick<Act, 'actor' | 'now'>
export type HomeFilter = { readonly outcome?: string; readonly dueBefore?: string; readonly customerId?: string }
type Condition = keyof HomeFilter

const due = `coalesce(k.next_due_on, 'infinity'::date)`
const conditions: Record<Condition, (n: number) => string> = {
  outcome: n => `k.outcome = $${n}`,
  dueBefore: n => `${due} < $${n}::date`,
  customerId: n =>
    `p.id in (select a.property_id from around_home a where a.customer_id = $${n}::uuid and a.until_on is null)`,
}
const filtered = (used: readonly Condition[]) => used.map((name, i) => `and ${conditions[name](i + 6)}`).join(' ')
const usedOf = (filter: HomeFilter) =>
  (Object.keys(conditions) as Condition[]).filter(name => filter[name] !== undefined)

const byId = (used: readonly Condition[], resumed: boolean): Statement =>
  sql(
    ['property-list', ...used, resumed ? 'after' : 'first'].join('-'),
    `select ${propertyColumns} from property p ${used.length > 0 ? 'join standing k on k.property_id = p.id' : ''}
      where ${visible(1)} and p.voided_at is null ${filtered(used)} ${resumed ? `and p.id < $${used.length + 6}` : ''}
      order by p.id desc limit $5`,
  )

/** Newest first, from behind `before` on; one more than `limit` tells that more follow. */
export function listProperties(
  db: Db,
  who: Who,
  list: HomeFilter & { before: string | null; limit: number },
): Promise<Property[]> {
  const used = usedOf(list)
  const values = [...seen(who.actor, who.now), list.limit + 1, ...used.map(name => list[name])]
  return db.rows<Property>(byId(used, list.before !== null), list.before === null ? values : [...values, list.before])
}

type Parts = Parameters<typeof sectionOfHome>[0]
export type HomeLine = {
  readonly id: string
  readonly street: string
  readonly unit: string
  readonly city: string
  readonly region: string
  readonly owner: string | null
  readonly outcome: string
  readonly nextDueOn: string | null
  /** The next due day again, `infinity` where nothing is owed: the list's sort key. */
  readonly dueKey: string
  readonly zone: string
  readonly body: KeptText
  readonly evaluations: readonly EvaluatedTest[]
  readonly storeys: number | null
  readonly foundationAreas: Parts['foundationAreas']
  readonly locations: Parts['testLocations']
}

// Driven by the standing, whose index is in the order of the list; the rest is looked up a row.
const byDue = (used: readonly Condition[], resumed: boolean): Statement =>
  sql(
    ['property-homes', ...used, resumed ? 'after' : 'first'].join('-'),
    `select p.id, p.street, p.unit, p.city, p.region, p.zone, p.storeys, k.outcome, k.next_due_on as "nextDueOn", ${due}::text as "dueKey", k.body::json as body,
       (select coalesce(json_agg(v.body::json), '[]') from test t join test_evaluation v on v.test_id = t.id
         where t.property_id = p.id) as evaluations,
       (select c.name from ownership o join customer c on c.id = o.customer_id
         where o.property_id = p.id and o.until_on is null and o.voided_at is null) as owner,
       (select coalesce(json_agg(json_build_object('id', f.id, 'kind', f.kind, 'name', f.name, 'areaM2', f.area_m2)
            order by f.position, f.id), '[]') from foundation_area f
         where f.property_id = p.id and f.voided_at is null) as "foundationAreas",
       (select coalesce(json_agg(json_build_object('id', l.id, 'name', l.name, 'floor', l.floor,
            'foundationAreaId', l.foundation_area_id) order by l.position, l.id), '[]')
          from test_location l where l.property_id = p.id and l.voided_at is null) as locations
     from standing k join property p on p.id = k.property_id
    where ${visible(1)} and p.voided_at is null ${filtered(used)}
      ${resumed ? `and (${due}, k.property_id) > ($${used.length + 6}::date, $${used.length + 7}::uuid)` : ''}
    order by ${due}, k.property_id limit $5`,
  )

/** Homes by what they owe next, those that owe nothing last; one more than `limit` tells that more follow. */
export function listHomes(
  db: Db,
  who: Who,
  list: HomeFilter & { after: readonly [due: string, id: string] | null; limit: number },
): Promise<HomeLine[]> {
  const used = usedOf(list)
  const values = [...seen(who.actor, who.now), list.limit + 1, ...used.map(name => list[name]), ...(list.after ?? [])]
  return db.rows<HomeLine>(byDue(used, list.after !== null), values)
}
