import { at, type Statement, sql, type Tx } from './client.ts'
import { type Act, recordWrites, type Write } from './record-write.ts'

/** A change of one row: its id, and the fields that are to hold something else. One that is left out stays. */
export type FieldsOfRow = { readonly id: string; readonly [field: string]: unknown }

export type PutFields = {
  readonly noun: string
  readonly statement: Statement
}

type Table = {
  readonly noun: string
  readonly table: string
  /** Field → column and type, as in `property_id uuid`; `voided_at instant` takes epoch milliseconds. */
  readonly fields: Readonly<Record<string, string>>
  /** Columns that move on with each change. */
  readonly version: boolean
  readonly updatedAt: boolean
  /** The column that keeps why a row was voided. */
  readonly voidReason: boolean
  /** The home of a row `r`, in SQL. */
  readonly home?: string
}

/** How a table's rows get other values in some fields, each as the caller gives it. */
export function putFieldsOf({ noun, table, fields, version, updatedAt, voidReason, home }: Table): PutFields {
  const given = (field: string) => `c.change ? '${field}'`
  const sets = Object.entries(fields).map(([field, declared]) => {
    const [column, type] = declared.split(' ') as [string, string]
    const text = `c.change->>'${field}'`
    const value = type === 'instant' ? `to_timestamp((${text})::numeric / 1000)` : `(${text})::${type}`
    return `${column} = case when ${given(field)} then ${value} else r.${column} end`
  })
  if (version) sets.push('version = r.version + 1')
  if (updatedAt) sets.push('updated_at = said.at')
  if (voidReason)
    sets.push(`void_reason = case when not ${given('voidedAt')} then r.void_reason
      when c.change->>'voidedAt' is null then null else said.why end`)
  const text = `update ${table} r set ${sets.join(', ')}
     from jsonb_array_elements($1::jsonb) c(change), (select $2::timestamptz as at, $3::text as why) said
     where r.id = (c.change->>'id')::uuid
     returning r.id, ${home ?? 'r.property_id'} as "propertyId", ${version ? 'r.version' : 'null::int as version'}`
  return { noun, statement: sql(`put-fields-${noun}`, text) }
}

/** Puts the fields and leaves the trace of it; the caller has seen the homes of the rows and stands them anew. */
export async function putFields(
  tx: Tx,
  act: Act,
  { noun, statement }: PutFields,
  changes: readonly FieldsOfRow[],
  reason: string,
): Promise<void> {
  if (changes.length === 0) return
  const rows = await tx.rows<{ id: string; propertyId: string; version: number | null }>(statement, [
    JSON.stringify(changes),
    at(act.now),
    reason,
  ])
  const byId = new Map(changes.map(change => [change.id, change]))
  await recordWrites(
    tx,
    act,
    rows.map(row => ({
      ...row,
      noun,
      reason,
      action: actionOf(byId.get(row.id)!),
      fields: fieldsOf(byId.get(row.id)!),
    })),
  )
}

const fieldsOf = ({ id: _, ...fields }: FieldsOfRow) => Object.keys(fields)

function actionOf(change: FieldsOfRow): Write['action'] {
  if ('voidedAt' in change) return change.voidedAt === null ? 'restore' : 'void'
  return 'propertyId' in change ? 'move' : 'correct'
}
