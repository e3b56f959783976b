import type { TestPurpose } from '../domain/facts.ts'
import { seen, seenSql } from '../platform/auth/seen.ts'
import { type Db, type Statement, sql } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import { notFound } from '../platform/http/problem.ts'
import { dayWords } from '../web/day-words.ts'
import { purposeWords } from '../web/purpose-words.ts'
import { isVisitPurpose, visitPurposeWords } from '../web/visit-purpose-words.ts'

/** Kinds of records that hang on a home and can be put right by themselves. */
export const nounsOfHome = ['test', 'system', 'visit', 'callback'] as const
export type NounOfHome = (typeof nounsOfHome)[number]

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
const one = (noun: string, what: string, name: string, day: string): Statement =>
  sql(
    `putting-right-one-${noun}`,
    `select r.property_id as "propertyId", ${address} as address, r.version, r.voided_at is not null as voided,
       ${what} as what, ${name} as name, (${day} at time zone p.zone)::date as day
     from ${noun} r join property p on p.id = r.property_id where r.id = $1 and ${seenSql('r.property_id', 2)}`,
  )

const statements: Readonly<Record<NounOfHome, Statement>> = {
  test: one('test', 'r.purpose', 'null', 'r.set_at'),
  system: one('system', 'r.type', 'r.tag', 'r.created_at'),
  visit: one('visit', 'r.purpose', 'null', 'r.starts_at'),
  callback: one('callback', 'r.complaint', 'r.number::text', 'r.reported_at'),
}

const subjects: Readonly<Record<NounOfHome, (row: Row) => string>> = {
  test: ({ what, day }) => `${purposeWords[what as TestPurpose]}, ${day ? `set ${dayWords(day)}` : 'day not known'}`,
  system: ({ what, name }) => (name ? `System ${name}` : `System: ${what.replaceAll('-', ' ')}`),
  visit: ({ what, day }) =>
    `Visit on ${dayWords(day!)}: ${(isVisitPurpose(what) ? visitPurposeWords[what] : what).toLowerCase()}`,
  callback: ({ what, name, day }) => `Callback ${name} of ${dayWords(day!)}: ${what.replaceAll('-', ' ')}`,
}

/** A record as a correction calls it, with its home; or the 404 it shares with those that are not this actor's. */
export async function recordToPutRight(
  db: Db,
  who: Pick<Act, 'actor' | 'now'>,
  noun: NounOfHome,
  id: string,
): Promise<RecordToPutRight> {
  const row = await db.one<Row>(statements[noun], [id, ...seen(who.actor, who.now)])
  if (!row) throw notFound(noun)
  const { what: _, name: __, day: ___, ...record } = row
  return { ...record, subject: subjects[noun](row) }
}
