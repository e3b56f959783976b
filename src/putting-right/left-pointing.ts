import { sql, type Tx } from '../platform/db/client.ts'

/** A record of one home that points at something of another, or at a room that is out of use. */
type Pointing = { readonly id: string; readonly what: keyof typeof words; readonly name: string }

const room = (from: string, what: string, home: string) =>
  `select x.id, '${what}' as what, l.name from ${from} join test_location l on l.id = x.location_id
    where ${home} = any($1::uuid[]) and x.voided_at is null and (l.property_id <> ${home} or l.voided_at is not null)`
const other = (table: string, column: string, target: string, what: string, name = "''") =>
  `select r.id, '${what}' as what, ${name} as name from ${table} r join ${target} o on o.id = r.${column}
    where r.property_id = any($1::uuid[]) and r.voided_at is null and o.property_id <> r.property_id`

const pointing = sql(
  'putting-right-pointing',
  [
    room('exposure x join test t on t.id = x.test_id and t.voided_at is null', 'measured', 't.property_id'),
    room('kit x', 'kit-left', 'x.property_id'),
    other('test', 'system_id', 'system', 'test-of-system', "coalesce(o.tag, '')"),
    other('test', 'follows_test_id', 'test', 'test-follows'),
    other('callback', 'system_id', 'system', 'callback-of-system', "coalesce(o.tag, '')"),
    other('visit', 'test_id', 'test', 'visit-for-test'),
    other('visit', 'callback_id', 'callback', 'visit-for-callback', 'o.number::text'),
  ].join(' union all '),
)

const words = {
  measured: name => `The room ${name} has been measured in since.`,
  'kit-left': name => `A kit was left in the room ${name} since.`,
  'test-of-system': name => `A test names the system ${name} since.`,
  'test-follows': () => 'A test follows up one of these since.',
  'callback-of-system': name => `A callback is about the system ${name} since.`,
  'visit-for-test': () => 'A visit is for the test since.',
  'visit-for-callback': name => `A visit is for callback ${name} since.`,
} as const satisfies Record<string, (name: string) => string>

/** What points out of its home now, by record. */
export async function pointingOut(tx: Tx, homes: readonly string[]): Promise<ReadonlyMap<string, string>> {
  const rows = await tx.rows<Pointing>(pointing, [homes])
  return new Map(
    rows.map(({ id, what, name }) => [`${what} ${id}`, words[what](name).replace(' system  ', ' system ')]),
  )
}

/** What would point out of its home, and did not before: it hangs on what is to be put back. */
export const newlyPointing = (before: ReadonlyMap<string, string>, after: ReadonlyMap<string, string>): string[] => [
  ...new Set([...after].filter(([key]) => !before.has(key)).map(([, line]) => line)),
]

/** What stands in a place by now that one thing at a time can have, by the constraint that keeps it so. */
export const placesTaken: Readonly<Record<string, string>> = {
  device_booking_one_at_a_time: 'The monitor is promised to another home for some of that time by now.',
  kit_number_of_lot: 'A kit of this number was left elsewhere since.',
  ownership_one_at_a_time: 'Somebody else owns the home on some of these days by now.',
}
