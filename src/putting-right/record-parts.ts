import { type Statement, sql, type Tx } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import type { Part } from './correction-rows.ts'

/** A record whose fields are put back, with what stood there before. `made` among them: it was made anew, and goes. */
export type PutBack = { readonly id: string; readonly was: Readonly<Record<string, unknown>> }

/** What corrections change of one noun, and how it is put back by the verbs of its feature. */
export type NounParts = {
  readonly table: string
  readonly fields: Readonly<Record<string, Field>>
  putBack(tx: Tx, act: Act, records: readonly PutBack[], reason: string): Promise<void>
  /** What hangs on records now that forbids putting these parts back, a sentence each. */
  hindrances?(tx: Tx, parts: readonly Part[]): Promise<readonly string[]>
}
/**
 * `value` gives the field as jsonb; `since` says in a sentence that it holds something else by now, null where that is no
 * reason not to put it back.
 */
export type Field = { readonly value: string; readonly since: string | null }

export const reference = (column: string, since: string): Field => ({ value: `to_jsonb(${column})`, since })
export const instant = (column: string, since: string): Field => ({
  value: `to_jsonb((extract(epoch from ${column}) * 1000)::bigint)`,
  since,
})
/** Of a record that a correction made anew. */
export const madeAnew = (since: string): Field => ({ value: 'to_jsonb(voided_at is null)', since })

/** Parts of records that were made anew. */
export const made = (noun: string, ids: readonly string[]): Part[] =>
  ids.map(recordId => ({ noun, recordId, field: 'made', was: null, now: true }))

/** Fields of records as they are, by id; holds the records. */
export async function fieldsNow(
  tx: Tx,
  noun: string,
  { table, fields }: NounParts,
  ids: readonly string[],
): Promise<ReadonlyMap<string, Readonly<Record<string, unknown>>>> {
  const rows = await tx.rows<{ id: string; fields: Record<string, unknown> }>(fieldsStatement(noun, table, fields), [
    ids,
  ])
  return new Map(rows.map(row => [row.id, row.fields]))
}

const fieldsStatement = (noun: string, table: string, fields: NounParts['fields']): Statement => {
  const values = Object.entries(fields).map(([field, { value }]) => `'${field}', ${value}`)
  const text = `select id, jsonb_build_object(${values.join(', ')}) as fields from ${table}
     where id = any($1::uuid[]) order by id for update`
  return sql(`putting-right-${noun}`, text)
}

export type Nouns = Readonly<Record<string, NounParts>>
type Touched = Readonly<Record<string, readonly string[]>>

/** Runs a write and gives each field of the touched records, by noun, that it left with another value. */
export async function partsOfWrite(
  tx: Tx,
  nouns: Nouns,
  touched: Touched,
  write: () => Promise<unknown>,
): Promise<Part[]> {
  const before = await snapshot(tx, nouns, touched)
  await write()
  const after = await snapshot(tx, nouns, touched)
  return [...before].flatMap(([noun, records]) =>
    [...records].flatMap(([recordId, was]) => {
      const now = after.get(noun)!.get(recordId)!
      return Object.keys(was)
        .filter(field => field !== 'made' && !sameValue(was[field], now[field]))
        .map(field => ({ noun, recordId, field, was: was[field], now: now[field] }))
    }),
  )
}

async function snapshot(tx: Tx, nouns: Nouns, touched: Touched) {
  const held = new Map<string, Awaited<ReturnType<typeof fieldsNow>>>()
  for (const [noun, ids] of Object.entries(touched)) held.set(noun, await fieldsNow(tx, noun, nouns[noun]!, ids))
  return held
}

export const sameValue = (one: unknown, other: unknown): boolean =>
  JSON.stringify(one ?? null) === JSON.stringify(other ?? null)
