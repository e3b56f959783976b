import type { Tx } from '../../platform/db/client.ts'
import { putFields, putFieldsOf } from '../../platform/db/put-fields.ts'
import type { Act } from '../../platform/db/record-write.ts'

export type NoteChange = {
  readonly id: string
  readonly propertyId?: string | null
  readonly subjectId?: string
  readonly voidedAt?: number | null
}

const fields = putFieldsOf({
  noun: 'note',
  table: 'note',
  fields: { propertyId: 'property_id uuid', subjectId: 'subject_id uuid', voidedAt: 'voided_at instant' },
  version: false,
  updatedAt: false,
  voidReason: true,
})

/** Puts notes and photos at the homes and on the records they are of; the caller has seen the homes. */
export const putNotes = (tx: Tx, act: Act, changes: readonly NoteChange[], reason: string) =>
  putFields(tx, act, fields, changes, reason)
