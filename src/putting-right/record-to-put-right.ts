import type { TestPurpose } from '../domain/facts.ts'
import { seen, seenSql } from '../platform/auth/seen.ts'
import { type Db, type Statement, sql, type Tx } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import { notFound, problem } from '../platform/http/problem.ts'
import { dayWords } from '../web/day-words.ts'
import { purposeWords } from '../web/purpose-words.ts'
import { isVisitPurpose, visitPurposeWords } from '../web/visit-purpose-words.ts'

/** Kinds of records that hang on a home and can be put right by themselves. */
export const nounsOfHome = ['test', 'system', 'visit', 'callback', 'home_event', 'kit', 'booking', 'note'] as const
export type NounOfHome = (typeof nounsOfHome)[number]
/** Those, and a home as a whole. */
export const nounsToPutRight = [...nounsOfHome, 'property'] as const
type NounToPutRight = (typeof nounsToPutRight)[number]

type Row = {
  readonly propertyId: string
  readonly address: string
  readonly version: number
  readonly voided: boolean
  readonly what: string
  readonly name: string | null
  readonly day: string | null
}
export type RecordToPutRight = Omit<Row, 'what' | 'name' | 'day'> & {
  /** The record in words: `Retest, set 12 May 2026`. */
  readonly subject: string
}

const address = `concat_ws(', ', nullif(concat_ws(' ', nullif(p.street, ''), nullif(p.unit, '')), ''), nullif(p.city, ''))`
type Words = {
  readonly what: string
  readonly name?: string
  readonly day: string
  readonly version?: string
  readonly home?: string
}
const one = (
  table: string,
  { what, name = 'null', day, version = 'r.version', home = 'r.property_id' }: Words,
): Statement =>
  sql(
    `putting-right-one-${table}`,
    `select ${home} as "propertyId", ${address} as address, ${version} as version, r.voided_at is not null as voided,
       ${what} as what, ${name} as name, ${day} as day
     from ${table} r join property p on p.id = ${home} where r.id = $1 and ${seenSql(home, 2)}`,
  )

const localDay = (column: string) => `(${column} at time zone p.zone)::date`
const statements: Readonly<Record<NounToPutRight, Statement>> = {
  test: one('test', { what: 'r.purpose', day: localDay('r.set_at') }),
  system: one('system', { what: 'r.type', name: 'r.tag', day: localDay('r.created_at') }),
  visit: one('visit', { what: 'r.purpose', day: localDay('r.starts_at') }),
  callback: one('callback', { what: 'r.complaint', name: 'r.number::text', day: localDay('r.reported_at') }),
  home_event: one('home_event', { what: 'r.kind', day: localDay('r.at') }),
  kit: one('kit', { what: 'r.purpose', name: 'r.number', day: 'r.left_on' }),
  booking: one('device_booking', { what: `''`, day: localDay('r.from_at') }),
  note: one('note', { what: 'r.subject', name: 'left(r.text, 60)', day: localDay('r.at'), version: '1' }),
  property: one('property', { what: `''`, day: 'null::date', home: 'r.id' }),
}

const spoken = (code: string): string => code.replaceAll('-', ' ')
const on = (day: string | null): string => (day ? ` of ${dayWords(day)}` : '')
const subjects: Readonly<Record<NounToPutRight, (row: Row) => string>> = {
  test: ({ what, day }) => `${purposeWords[what as TestPurpose]}, ${day ? `set ${dayWords(day)}` : 'day not known'}`,
  system: ({ what, name }) => (name ? `System ${name}` : `System: ${spoken(what)}`),
  visit: ({ what, day }) => `Visit${on(day)}: ${(isVisitPurpose(what) ? visitPurposeWords[what] : what).toLowerCase()}`,
  callback: ({ what, name, day }) => `Callback ${name}${on(day)}: ${spoken(what)}`,
  home_event: ({ what, day }) => `Event at the home${on(day)}: ${spoken(what)}`,
  kit: ({ name, day }) => `Kit ${name}, left ${dayWords(day!)}`,
  booking: ({ day }) => `Booking of a monitor from ${dayWords(day!)}`,
  note: ({ name, day }) => `Note${on(day)}${name ? `: ${name}` : ''}`,
  property: row => row.address,
}

const tables: Partial<Record<NounOfHome, string>> = { booking: 'device_booking' }
const holdStatement = (table: string): Statement =>
  sql(`putting-right-hold-${table}`, `select id from ${table} where id = $1 for update`)

/** The same for one that is about to be put right: held, and in use. */
export async function heldToPutRight(tx: Tx, act: Act, noun: NounOfHome, id: string): Promise<RecordToPutRight> {
  const table = tables[noun] ?? noun
  await tx.rows(holdStatement(table), [id])
  const record = await recordToPutRight(tx, act, noun, id)
  if (record.voided) throw problem(409, 'voided-already', 'It is voided already, and counts for nothing.')
  return record
}

/** A record as a correction calls it, with its home; or the 404 it shares with those that are not this actor's. */
export async function recordToPutRight(
  db: Db,
  who: Pick<Act, 'actor' | 'now'>,
  noun: NounToPutRight,
  id: string,
): Promise<RecordToPutRight> {
  const row = await db.one<Row>(statements[noun], [id, ...seen(who.actor, who.now)])
  if (!row) throw notFound(noun)
  const { what: _, name: __, day: ___, ...record } = row
  return { ...record, subject: subjects[noun](row) }
}

/** A page's title, which says of which record of the home it is. */
export const titleOf = (what: string, noun: string, { subject }: RecordToPutRight): string =>
  noun === 'property' ? what : `${what}: ${subject}`
