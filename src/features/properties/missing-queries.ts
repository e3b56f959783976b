import { seen } from '../../platform/auth/seen.ts'
import { type Db, type Statement, sql } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { visible } from './queries.ts'

type Who = Pick<Act, 'actor' | 'now'>

/** What a home's record should hold and an old one often does not. */
export const missingThings = [
  'owner',
  'contact',
  'fan-date',
  'fan-serial',
  'gauge',
  'start-date',
  'post-test',
  'test-date',
  'zone',
] as const
export type MissingThing = (typeof missingThings)[number]

const ownerNow = `select c.email, c.phone from ownership o join customer c on c.id = o.customer_id
  where o.property_id = p.id and o.until_on is null and o.voided_at is null`
const system = 'select s.id from system s where s.property_id = p.id and s.voided_at is null'
const fan = `select c.* from system_component c join system s on s.id = c.system_id
  where s.property_id = p.id and s.voided_at is null and s.active and c.kind = 'fan' and c.voided_at is null
    and c.removed_at is null and c.removed_edtf is null`
const start = `select e.at, e.edtf from system_event e join system s on s.id = e.system_id
  where s.property_id = p.id and s.voided_at is null and e.voided_at is null and e.kind in ('first-start', 'completed')`
const gauge = `select g.role from gauge_reading g join system s on s.id = g.system_id
  where s.property_id = p.id and s.voided_at is null and g.voided_at is null and g.role in ('start-up', 'adopted')`
const result = `select x.stop_at from test t join exposure x on x.test_id = t.id and x.voided_at is null and x.value is not null
  where t.property_id = p.id and t.voided_at is null`
const exactDay = `~ '^[0-9]{4}-[0-9]{2}-[0-9]{2}$'`

/** How well a thing is known of a home: `known`, `guess`, `missing`, or null where the home need not have it. */
const states: Readonly<Record<MissingThing, string>> = {
  owner: `case when exists (${ownerNow}) then 'known' else 'missing' end`,
  contact: `case when not exists (${ownerNow}) then null
    when exists (${ownerNow} and (c.email is not null or c.phone is not null)) then 'known' else 'missing' end`,
  'fan-date': `case when not exists (${system} and s.active) then null
    when exists (${fan} and (c.installed_at is not null or c.installed_edtf ${exactDay})) then 'known'
    when exists (${fan} and c.installed_edtf is not null) then 'guess' else 'missing' end`,
  'fan-serial': `case when not exists (${system} and s.active) then null
    when exists (${fan} and c.serial <> '') then 'known' else 'missing' end`,
  gauge: `case when not exists (${system} and s.active) then null
    when exists (${gauge} and g.role = 'start-up') then 'known' when exists (${gauge}) then 'guess' else 'missing' end`,
  'start-date': `case when not exists (${system}) then null
    when exists (${start} and (e.at is not null or e.edtf ${exactDay})) then 'known'
    when exists (${start} and e.edtf is not null) then 'guess' else 'missing' end`,
  'post-test': `case when not exists (${system}) then null
    when exists (${result} and t.purpose in ('post-mitigation', 'retest')) then 'known' else 'missing' end`,
  'test-date': `case when not exists (${result}) then null
    when not exists (${result} and x.stop_at is null) then 'known' when exists (${result} and x.stop_at is not null) then 'guess'
    else 'missing' end`,
  zone: `case when p.zone_source = 'assumed' then 'guess' else 'known' end`,
}

export type Known = {
  readonly thing: MissingThing
  readonly known: number
  readonly guess: number
  readonly missing: number
}

/** Homes that are counted: a larger book is told by so many of it. */
export const mostCounted = 20_000

const counted = sql(
  'property-known',
  `select k.thing, count(*) filter (where k.state = 'known')::int as known,
     count(*) filter (where k.state = 'guess')::int as guess, count(*) filter (where k.state = 'missing')::int as missing
   from (select p.* from property p where ${visible(1)} and p.voided_at is null limit ${mostCounted}) p
     cross join lateral (values ${missingThings.map(thing => `('${thing}', ${states[thing]})`).join(', ')})
     as k(thing, state) group by k.thing`,
)
/** How much of the book is known, how much a guess, and how much missing, in the order of the things. */
export async function countKnown(db: Db, who: Who): Promise<readonly Known[]> {
  const rows = await db.rows<Known>(counted, seen(who.actor, who.now))
  return missingThings.map(thing => rows.find(row => row.thing === thing) ?? { thing, known: 0, guess: 0, missing: 0 })
}

export type IncompleteHome = {
  readonly id: string
  readonly street: string
  readonly unit: string
  readonly city: string
  readonly country: string
  readonly owner: string | null
  readonly phone: string | null
  readonly states: Readonly<Partial<Record<MissingThing, 'known' | 'guess' | 'missing'>>>
}

const all = missingThings.map(thing => `'${thing}', ${states[thing]}`).join(', ')
const lacking = (thing: MissingThing | null): string =>
  thing === null
    ? `exists (select 1 from json_each_text(k.states) one where one.value in ('missing', 'guess'))`
    : `k.states ->> '${thing}' in ('missing', 'guess')`
const list = (thing: MissingThing | null, resumed: boolean): Statement =>
  sql(
    ['property-incomplete', thing ?? 'any', resumed ? 'after' : 'first'].join('-'),
    `select p.id, p.street, p.unit, p.city, p.country, k.states,
       (select c.name from ownership o join customer c on c.id = o.customer_id
         where o.property_id = p.id and o.until_on is null and o.voided_at is null limit 1) as owner,
       (select c.phone from ownership o join customer c on c.id = o.customer_id
         where o.property_id = p.id and o.until_on is null and o.voided_at is null limit 1) as phone
     from property p cross join lateral (select json_build_object(${all}) as states) k
    where ${visible(1)} and p.voided_at is null and ${lacking(thing)}
      ${resumed ? 'and (p.city, p.street, p.id) > ($6, $7, $8::uuid)' : ''}
    order by p.city, p.street, p.id limit $5`,
  )

/** Homes that lack a thing, or anything, by town and street; one more than `limit` tells that more follow. */
export const listIncomplete = (
  db: Db,
  who: Who,
  { thing, after, limit }: { thing: MissingThing | null; after: readonly string[] | null; limit: number },
) => db.rows<IncompleteHome>(list(thing, after !== null), [...seen(who.actor, who.now), limit + 1, ...(after ?? [])])
