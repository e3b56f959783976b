import { addressKey, addressText, houseOf, tellingWord, type WrittenAddress } from '../domain/address/address-key.ts'
import { isSameHome } from '../domain/address/same-building.ts'
import { seen } from '../platform/auth/seen.ts'
import { type Db, sql } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import type { ResultRow } from './results-table/read-result-row.ts'

export type FoundHome = {
  readonly id: string
  readonly zone: string
  readonly locations: readonly { readonly id: string; readonly name: string; readonly floor: number }[]
}
type Wanted = ResultRow['home']

// By id, or by house number: of those with one number, what has a word of the street in it or lies in the same place.
const find = sql(
  'import-find-homes',
  `select w.n, p.id, p.zone, p.street, p.unit, p.city, p.region, p.postcode,
       (select coalesce(json_agg(json_build_object('id', l.id, 'name', l.name, 'floor', l.floor)
            order by l.position, l.id), '[]') from test_location l where l.property_id = p.id and l.voided_at is null) as locations
     from jsonb_to_recordset($1::jsonb) as w(n int, id uuid, house text, word text, city text, postcode text)
     cross join lateral (
       select q.* from property q where q.id = w.id
       union all
       select q.* from property q where w.id is null
          and ltrim(coalesce(substring(lower(q.street) from '[0-9][a-z0-9/]*'), split_part(lower(q.street), ' ', 1)), '0') = w.house
          and case when w.word <> '' then position(w.word in translate(lower(q.street), '''’.', '')) > 0
              else lower(q.city) = w.city or left(replace(lower(q.postcode), ' ', ''), 5) = w.postcode end) p
    where p.voided_at is null and ($2 or p.id in (select property_id from visible_home($3, $4, $5)))
    order by w.n, p.id`,
)
const UUID = /^[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i

type FoundRow = FoundHome & WrittenAddress & { readonly n: number }

/** Every home on record that each wanted one can be, in the order wanted; more than one where the address fits several. */
export async function findHomes(
  db: Db,
  who: Pick<Act, 'actor' | 'now'>,
  wanted: readonly Wanted[],
): Promise<readonly (readonly FoundHome[])[]> {
  const compared = wanted.map(addressKey)
  const asked = wanted.flatMap((home, n) => (home.id !== null && !UUID.test(home.id) ? [] : [askedFor(home, n)]))
  const rows = await db.rows<FoundRow>(find, [JSON.stringify(asked), ...seen(who.actor, who.now)])
  const found: FoundHome[][] = wanted.map(() => [])
  for (const { n, id, zone, locations, ...address } of rows)
    if (wanted[n]!.id !== null || isSameHome(compared[n]!, addressKey(address))) found[n]!.push({ id, zone, locations })
  return found
}

function askedFor(home: Wanted, n: number) {
  const key = addressKey(home)
  const place = { city: home.city.toLowerCase(), postcode: key.postcode.slice(0, 5) || null }
  return { n, id: home.id, house: houseOf(key), word: tellingWord(key), ...place }
}

/** Equal keys mean the same home as far as the table tells. */
export const keyOfHome = (home: Wanted): string => `${home.id?.toLowerCase() ?? ''}|${addressText(addressKey(home))}`

const known = sql(
  'import-known-results',
  `select t.property_id as "propertyId", t.method, x.start_at as "startAt", x.stop_at as "stopAt", x.value, x.unit, x.qualifier
     from test t join exposure x on x.test_id = t.id and x.voided_at is null
    where t.property_id = any($1::uuid[]) and t.voided_at is null and x.value is not null`,
)
export type KnownResult = {
  readonly propertyId: string
  readonly method: string
  readonly startAt: number | null
  readonly stopAt: number | null
  readonly value: string
  readonly unit: string
  readonly qualifier: string
}
export const keyOfResult = (result: KnownResult): string =>
  [result.propertyId, result.method, result.startAt, result.stopAt, result.qualifier, result.value, result.unit].join(
    ' ',
  )

/** The results that homes already have, by what makes one the same. */
export const knownResults = async (db: Db, propertyIds: readonly string[]): Promise<ReadonlySet<string>> =>
  new Set((await db.rows<KnownResult>(known, [propertyIds])).map(keyOfResult))

const unused = sql(
  'import-unused-homes',
  `select p.id, p.version from property p where p.id = any($1::uuid[]) and p.voided_at is null
      and not exists (select 1 from test t where t.property_id = p.id and t.voided_at is null)
      and not exists (select 1 from system s where s.property_id = p.id and s.voided_at is null)
      and not exists (select 1 from visit v where v.property_id = p.id)
      and not exists (select 1 from callback c where c.property_id = p.id)
      and not exists (select 1 from ownership o where o.property_id = p.id)
    order by p.id`,
)
/** Of homes, those that nothing hangs on. */
export const unusedHomes = (db: Db, ids: readonly string[]) => db.rows<{ id: string; version: number }>(unused, [ids])

const waiting = sql(
  'import-waiting-records',
  `select t.id as "testId", x.id as "exposureId", t.version, coalesce(l.name, 'no location noted') as place,
      coalesce(x.start_at, t.set_at) as "setAt"
     from test t join exposure x on x.test_id = t.id and x.voided_at is null left join test_location l on l.id = x.location_id
    where t.property_id = $1 and t.voided_at is null and t.method = 'continuous-monitor' and x.value is null
      and x.role in ('measurement', 'duplicate') and not exists (select 1 from series s where s.exposure_id = x.id)
    order by t.set_at desc nulls last, x.position`,
)
/** A monitor that was set and whose record is still to come. */
export type WaitingRecord = {
  readonly testId: string
  readonly exposureId: string
  readonly version: number
  readonly place: string
  readonly setAt: number | null
}
/** The exposures of a home the caller may see that wait for a record. */
export const waitingRecords = (db: Db, propertyId: string) => db.rows<WaitingRecord>(waiting, [propertyId])
