import type { Around } from '../domain/people/people-of-merged-home.ts'
import { sql, type Tx } from '../platform/db/client.ts'

const around = sql(
  'putting-right-around-both',
  `select a.id, a.property_id as "propertyId", a.customer_id as "customerId", a.role, a.from_on as "fromOn", a.until_on as "untilOn"
     from around_home a where a.property_id in ($1, $2) order by a.from_on nulls first, a.id`,
)
/** Everybody who is or was around two homes. */
export const aroundBoth = (tx: Tx, fromId: string, intoId: string) =>
  tx.rows<Around & { readonly propertyId: string }>(around, [fromId, intoId])

// A link opens the page of a home: it goes along only with somebody who is around the home that stays.
const links = sql(
  'putting-right-links-that-move',
  `select l.id from homeowner_link l where l.property_id = $1 and exists (
     select from around_home a where a.customer_id = l.customer_id and a.until_on is null
       and (a.property_id = $2 or a.id = any($3::uuid[]))) order by l.id`,
)
export const linksThatMove = async (tx: Tx, fromId: string, intoId: string, moved: readonly string[]) =>
  (await tx.rows<{ id: string }>(links, [fromId, intoId, moved])).map(({ id }) => id)

const sent = sql(
  'putting-right-sent-in',
  `select array(select id from homeowner_report where property_id = $1 order by id) as reports,
     array(select id from import_batch where property_id = $1 order by id) as imports`,
)
type Sent = { readonly reports: readonly string[]; readonly imports: readonly string[] }
/** What came in for a home. */
export const sentIn = async (tx: Tx, propertyId: string): Promise<Sent> => (await tx.one<Sent>(sent, [propertyId]))!

const onHome = sql('putting-right-notes-on-home', `select id from note where subject = 'property' and subject_id = $1`)
/** Notes on the home itself. */
export const notesOnHome = async (tx: Tx, propertyId: string): Promise<ReadonlySet<string>> =>
  new Set((await tx.rows<{ id: string }>(onHome, [propertyId])).map(({ id }) => id))

const holds = sql(
  'putting-right-held-by-emptied',
  `select exists (select from held_home where property_id = $1) and not exists (select from held_home where property_id = $2) as held`,
)
/** Whether the reminders of the emptied entry wait for its import to be released, and those of the other one do not. */
export const waitsOnlyThere = async (tx: Tx, fromId: string, intoId: string): Promise<boolean> =>
  (await tx.one<{ held: boolean }>(holds, [fromId, intoId]))!.held

// Named, not quoted: a code of a gate stays where it is noted.
const onlyThere = sql(
  'putting-right-only-the-emptied-entry-says',
  `select array(select said.of_it from (values
       (1, 'year built', a.year_built is not null and b.year_built is null),
       (2, 'storeys', a.storeys is not null and b.storeys is null),
       (3, 'how to get in', a.access_note <> '' and b.access_note = ''),
       (4, 'code of the gate', a.gate_code <> '' and b.gate_code = ''),
       (5, 'the dog', a.dog_note <> '' and b.dog_note = ''),
       (6, 'note', a.note <> '' and b.note = '')) said (place, of_it, holds) where said.holds order by place) as said
     from property a, property b where a.id = $1 and b.id = $2`,
)
/** What of the house itself is noted with the emptied entry and nowhere else. */
export const onlyEmptiedSays = async (tx: Tx, fromId: string, intoId: string): Promise<readonly string[]> =>
  (await tx.one<{ said: readonly string[] }>(onlyThere, [fromId, intoId]))!.said
