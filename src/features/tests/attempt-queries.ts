import type { EvaluatedTest } from '../../domain/answers.ts'
import type { Instant } from '../../domain/facts.ts'
import { type Db, epochMs, sql } from '../../platform/db/client.ts'

/** A post-mitigation test, and what had been done to the system since the one before it. */
export type Attempt = {
  readonly testId: string
  readonly endedAt: Instant
  readonly evaluation: EvaluatedTest | null
  readonly changes: readonly {
    readonly kind: string
    readonly change: 'event' | 'in' | 'out'
    readonly detail: string
    readonly at: Instant
  }[]
  /** The last reading of the system's gauge up to the end of the test. */
  readonly gauge: { readonly value: string; readonly unit: 'in. w.c.' | 'Pa'; readonly at: Instant } | null
}

// What is dated only roughly can not be placed between two tests and is left to the home's history.
const attempts = sql(
  'test-attempts',
  `with attempt as (
     select a.id, a.property_id, a.system_id, v.body::json as evaluation,
       coalesce((select min(x.start_at) from exposure x where x.test_id = a.id and x.voided_at is null), a.set_at) as begun,
       coalesce((select max(x.stop_at) from exposure x where x.test_id = a.id and x.voided_at is null), a.picked_up_at, a.set_at) as ended
     from test t join test a on a.property_id = t.property_id and a.system_id is not distinct from t.system_id
       left join test_evaluation v on v.test_id = a.id
    where t.id = $1 and t.purpose = 'post-mitigation' and a.purpose = 'post-mitigation' and a.voided_at is null),
   spanned as (select *, lag(ended) over (order by ended, id) as since from attempt where begun is not null and ended is not null),
   done as (
     select y.property_id, y.id as system_id, e.kind, 'event' as change, e.note as detail, e.at
       from system y join system_event e on e.system_id = y.id where y.voided_at is null and e.voided_at is null
     union all select y.property_id, y.id, c.kind, 'in', c.model, c.installed_at
       from system y join system_component c on c.system_id = y.id where y.voided_at is null and c.voided_at is null
     union all select y.property_id, y.id, c.kind, 'out', c.removal_reason, c.removed_at
       from system y join system_component c on c.system_id = y.id where y.voided_at is null and c.voided_at is null
     union all select y.property_id, y.id, 'suction-point', 'in', u.name, u.since
       from system y join suction_point u on u.system_id = y.id where y.voided_at is null and u.voided_at is null
     union all select y.property_id, y.id, 'suction-point', 'out', u.name, u.until
       from system y join suction_point u on u.system_id = y.id where y.voided_at is null and u.voided_at is null)
   select s.id as "testId", ${epochMs('s.ended')} as "endedAt", s.evaluation,
     (select coalesce(json_agg(json_build_object('kind', d.kind, 'change', d.change, 'detail', d.detail,
          'at', ${epochMs('d.at')}) order by d.at, d.kind, d.detail), '[]')
        from done d where d.property_id = s.property_id and (s.system_id is null or d.system_id = s.system_id)
         and d.at > s.since and d.at <= s.begun) as changes,
     (select json_build_object('value', g.value, 'unit', g.unit, 'at', ${epochMs('g.at')})
        from gauge_reading g join system y on y.id = g.system_id
       where y.property_id = s.property_id and (s.system_id is null or y.id = s.system_id) and y.voided_at is null
         and g.voided_at is null and g.at <= s.ended order by g.at desc, g.id desc limit 1) as gauge
   from spanned s order by s.ended, s.id`,
)

/** The post-mitigation tests of the system a test speaks of, oldest first; none for another kind of test. */
export const attemptsBeside = (db: Db, testId: string) => db.rows<Attempt>(attempts, [testId])
