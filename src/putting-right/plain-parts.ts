import type { Tx } from '../platform/db/client.ts'
import type { FieldsOfRow } from '../platform/db/put-fields.ts'
import type { Act } from '../platform/db/record-write.ts'
import { type Field, instant, type NounParts, reference } from './record-parts.ts'

type Plain = {
  readonly table: string
  /** The record in words: `The visit`. */
  readonly the: string
  /** Columns that name another record, by field. */
  readonly references: Readonly<Record<string, string>>
  readonly voids?: boolean
  put(tx: Tx, act: Act, changes: readonly FieldsOfRow[], reason: string): Promise<unknown>
}

/** Parts of a noun whose feature puts any of these fields by one verb: what was there is put the same way. */
export function plainParts({ table, the, references, voids = true, put }: Plain): NounParts {
  const fields = Object.entries(references).map(([field, column]): [string, Field] => [
    field,
    reference(column, `${the} was put elsewhere since.`),
  ])
  const voidedAt: Record<string, Field> = voids
    ? { voidedAt: instant('voided_at', `${the} was voided, or restored, since.`) }
    : {}
  return {
    table,
    fields: { ...Object.fromEntries(fields), ...voidedAt },
    putBack: async (tx, act, records, reason) => {
      await put(
        tx,
        act,
        records.map(({ id, was }) => ({ id, ...was })),
        reason,
      )
    },
  }
}

/** Fields of one noun that two verbs put: each gets its own. */
export function combinedParts(one: NounParts, other: NounParts): NounParts {
  return {
    table: one.table,
    fields: { ...one.fields, ...other.fields },
    async putBack(tx, act, records, reason) {
      for (const parts of [other, one]) {
        const own = records.flatMap(({ id, was }) => {
          const fields = Object.entries(was).filter(([field]) => field in parts.fields)
          return fields.length > 0 ? [{ id, was: Object.fromEntries(fields) }] : []
        })
        if (own.length > 0) await parts.putBack(tx, act, own, reason)
      }
    },
    hindrances: async (tx, parts) => [
      ...((await one.hindrances?.(tx, parts)) ?? []),
      ...((await other.hindrances?.(tx, parts)) ?? []),
    ],
  }
}
