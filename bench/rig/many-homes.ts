import pg from 'pg'
import type { Standing } from '../../src/domain/answers.ts'
import { canonicalText } from '../../src/domain/standing/canonical-text.ts'
import { engineVersion, standingOf } from '../../src/domain/standing/standing-of.ts'
import { policies } from '../../tests/support/homes.ts'
import { searchAtOnce } from './search-at-once.ts'
import { tenYearHome } from './ten-year-home.ts'

const writtenAt = '2026-01-05T12:00:00Z'

const made = `create temp table made as select n, uuidv7() as person, uuidv7() as home, uuidv7() as place,
  uuidv7() as system, uuidv7() as device from generate_series(1, $1::int) n`

const streets = `(array['Alder','Birch','Cedar','Dogwood','Elm','Fir','Gale','Hawthorn','Iron','Juniper','Kent','Larch'])`
const names = `(array['Holm','Berg','Vance','Oakes','Lind','Marsh','Nye','Olsen','Price','Quist','Rowe','Stone','Thorn'])`

// Every name and street is shared by many and every address is one home's, as in a town.
const facts = [
  `insert into customer (id, name, email, phone, created_at, updated_at)
   select person, 'Ann' || chr(97 + n % 26) || ' ' || ${names}[1 + n % 13] || chr(97 + n / 13 % 26) || chr(97 + n / 338 % 26),
     'p' || n || '@home.example', '+1218' || lpad((5550000 + n)::text, 7, '0'), $1, $1 from made`,
  `insert into property (id, street, city, region, postcode, country, zone, jurisdiction, year_built, created_at, updated_at)
   select home, n || ' ' || ${streets}[1 + n % 12] || ' Street', 'Duluth', 'MN', (55800 + n % 100)::text, 'US',
     'America/Chicago', 'US-MN', 1974, $1, $1 from made`,
  `insert into ownership (id, property_id, customer_id, from_on, created_at)
   select uuidv7(), home, person, '2015-05-01', $1 from made`,
  `insert into test_location (id, property_id, name, floor, lived_in, created_at)
   select place, home, 'Basement', -1, true, $1 from made`,
  `insert into system (id, property_id, tag, type, installed_by, created_at, updated_at)
   select system, home, 'T-' || n, 'sub-slab-suction', 'us', $1, $1 from made`,
  `insert into system_event (id, system_id, kind, at, created_at)
   select uuidv7(), system, 'first-start', '2015-06-01T15:00:00Z', $1 from made`,
  `insert into system_component (id, system_id, kind, model, serial, installed_at, created_at)
   select uuidv7(), system, 'fan', 'F-' || n % 9, 'S' || n, '2015-06-01T15:00:00Z', $1 from made`,
]

const formerOwners = `insert into ownership (id, property_id, customer_id, from_on, until_on, created_at)
  select uuidv7(), m.home, former.person, '2005-05-01', '2015-05-01', $1 from made m join made former on former.n = m.n % $2::int + 1`

// Five tests of one device each in ten years, all below the level.
const tests = [
  `create temp table tested as select uuidv7() as id, home, place, system,
     timestamptz '2016-03-12T15:00:00Z' + make_interval(days => 730 * k + n % 300) as stop, 1 + (n + k) % 20 / 10.0 as value
   from made, generate_series(0, 4) k`,
  `insert into test (id, property_id, system_id, purpose, method, set_at, picked_up_at, result_in_at, accepted_at,
     closed_since, closed_during, created_at, updated_at)
   select id, home, system, 'retest', 'activated-charcoal', stop - interval '3 days', stop, stop + interval '5 days',
     stop + interval '6 days', stop - interval '4 days', 'yes', $1, $1 from tested`,
  `insert into exposure (id, test_id, location_id, start_at, stop_at, value, unit, created_at)
   select uuidv7(), id, place, stop - interval '3 days', stop, to_char(value, 'FM0.0'), 'pCi/L', $1 from tested`,
]

const standings = `insert into standing (property_id, body, outcome, next_due_on, engine_version, computed_at)
  select home, $2, 'below', date '2026-03-01' + n % 700, ${engineVersion}, $1 from made`

const obligations = `insert into obligation (id, property_id, kind, cause_id, due_on, due_at, remind_at, next_remind_at, because,
    owed_by, created_at, updated_at)
  select uuidv7(), property_id, 'retest', property_id, next_due_on, next_due_on::timestamptz, array[next_due_on::timestamptz - interval '30 days'],
    next_due_on::timestamptz - interval '30 days', '[{"text":"Every two years"}]', 'homeowner', $1, $1 from standing`

/**
 * Fills a database with so many homes, each with an owner, a system and five tests, and brings the search index and the
 * planner's statistics up to date. `stood` gives them all one standing and a retest owed, without the reckoning. `people`
 * makes no tests and no standings, but a former owner for each home.
 */
export async function manyHomes(
  url: string,
  count: number,
  { stood = true, people = false }: { stood?: boolean; people?: boolean } = {},
): Promise<void> {
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  try {
    await client.query('set session_replication_role = replica')
    await client.query(made, [count])
    for (const insert of facts) await client.query(insert, [writtenAt])
    if (people) await client.query(formerOwners, [writtenAt, count])
    else {
      await client.query(tests[0]!)
      for (const insert of tests.slice(1)) await client.query(insert, [writtenAt])
    }
    if (stood && !people) {
      await client.query(standings, [writtenAt, canonicalText(someStanding())])
      await client.query(obligations, [writtenAt])
    }
    await searchAtOnce(client)
    await client.query('vacuum analyze')
  } finally {
    await client.end()
  }
}

const someStanding = (): Standing => standingOf(tenYearHome(), policies, Date.parse('2026-02-02T15:00:00Z'))
