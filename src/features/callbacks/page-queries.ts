import { baselineWords } from '../../domain/baseline/baseline.ts'
import { seen } from '../../platform/auth/seen.ts'
import { type Db, sql } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { notFound } from '../../platform/http/problem.ts'
import { type BaselineRow, baselineOf, baselineSql } from '../../standing/baseline.ts'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'

export type CallbackHome = {
  readonly id: string
  readonly address: string
  readonly zone: string
  readonly country: string
  readonly systems: readonly { id: string; type: string; tag: string | null; gauge: string | null }[]
}

type HomeRow = Omit<CallbackHome, 'systems'> & {
  readonly systems: readonly { id: string; type: string; tag: string | null; baseline: BaselineRow | null }[]
}

const home = sql(
  'callback-home',
  `select p.id, p.zone, p.country,
     p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address,
     (select coalesce(json_agg(json_build_object('id', s.id, 'type', s.type, 'tag', s.tag,
        'baseline', ${baselineSql('s.id')}) order by s.id), '[]')
        from system s where s.property_id = p.id and s.voided_at is null) as systems
   from property p where p.id = $1 and p.voided_at is null
     and ($2 or p.id in (select property_id from visible_home($3, $4, $5)))`,
)
/** The home that is called about, with its systems and what their gauges are held against. */
export async function callbackHome(db: Db, who: Pick<Act, 'actor' | 'now'>, propertyId: string): Promise<CallbackHome> {
  const found = await db.one<HomeRow>(home, [propertyId, ...seen(who.actor, who.now)])
  if (!found) throw notFound('property')
  const gauge = (baseline: BaselineRow | null) => baseline && baselineWords(baselineOf(baseline, found.zone))
  return { ...found, systems: found.systems.map(({ baseline, ...system }) => ({ ...system, gauge: gauge(baseline) })) }
}

const caller = sql(
  'callback-caller',
  `select c.id, c.name from around_home a join customer c on c.id = a.customer_id
    where a.property_id = $1 and a.customer_id::text = $2 limit 1`,
)
/** Who reports, as a form says it: somebody around the home who was chosen, else the name that was typed. */
export async function callerIn(db: Db, propertyId: string, typed: TypedFields) {
  const chosen = textIn(typed, 'caller')
  const known = chosen === '' ? null : await db.one<{ id: string; name: string }>(caller, [propertyId, chosen])
  return { reportedBy: known?.name ?? textIn(typed, 'reported-by'), reportedByCustomer: known?.id ?? null }
}
