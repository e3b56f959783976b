import { createHash } from 'node:crypto'
import type { Instant } from '../../domain/facts.ts'

export type AuditRow = {
  seq: string
  at: Instant
  actorKind: string
  actorId: string | null
  action: string
  noun: string
  nounId: string | null
  propertyId: string | null
  fields: string[]
  requestId: string
}

/** Before the first row. */
export const chainStart: Buffer = Buffer.alloc(32)

/** The hash of a row and everything before it: SHA-256 over the hash before and the row's values in this order. */
export const linkHash = (before: Buffer, row: AuditRow): Buffer =>
  createHash('sha256')
    .update(before)
    .update(
      JSON.stringify([
        row.seq,
        row.at,
        row.actorKind,
        row.actorId,
        row.action,
        row.noun,
        row.nounId,
        row.propertyId,
        row.fields,
        row.requestId,
      ]),
    )
    .digest()
