import { z } from 'zod'
import { filledText, id, instantOut, localDay } from '../platform/http/scalars.ts'

const brief = z
  .object({
    voided: z.boolean(),
    outcome: z.enum(['below', 'at-or-above', 'needs-follow-up', 'disagreement', 'undetermined']),
    reason: z.string().nullable(),
    compared: z.object({ value: z.string(), unit: z.string(), qualifier: z.enum(['=', '<', '>']) }).nullable(),
    owed: z.array(z.object({ kind: z.string(), dueOn: localDay, owedBy: z.string(), recommended: z.boolean() })),
  })
  .meta({ id: 'BriefStanding', description: 'Where a home stands, in short' })

const homeChange = z
  .object({ propertyId: id, before: brief, after: brief, changed: z.boolean() })
  .meta({ id: 'HomeChange', description: 'A home before and after a correction' })

const by = z.object({ kind: z.string(), id: id.nullable() })
const shown = {
  kind: z.enum(['void', 'move', 'merge-customers', 'merge-homes', 'read-again']),
  noun: z.string().meta({ description: 'Kind of the record that is put right' }),
  nounId: id,
  intoId: id.nullable().meta({ description: 'The home or the person it goes to' }),
  propertyIds: z.array(id).meta({ description: 'The homes it touches' }),
  reason: z.string(),
  homes: z.array(homeChange),
  told: z
    .array(z.string())
    .optional()
    .meta({ description: 'In words: what comes along, what is cut loose. Left out for an app without contacts:read' }),
  caution: z.string().meta({ description: 'To be shown with every result' }),
}

export const correctionOut = z
  .object({
    id,
    ...shown,
    madeAt: instantOut,
    madeBy: by,
    undone: z.object({ at: instantOut, reason: z.string() }).nullable(),
    version: z.number().int(),
  })
  .meta({ id: 'Correction', description: 'Something put right, with what it changed; it can be undone' })

export const foreseenOut = z
  .object({ ...shown, tag: z.string().meta({ description: 'Send it along to change exactly this or nothing' }) })
  .meta({ id: 'ForeseenCorrection', description: 'What a correction would change' })

export const correctionList = z
  .object({ items: z.array(correctionOut), next: z.string().nullable() })
  .meta({ id: 'CorrectionList' })

export const undoing = z.strictObject({ reason: filledText(500) }).meta({ id: 'Undoing' })

export const correctionQuery = z.strictObject({
  propertyId: id.optional().meta({ description: 'Corrections that touched this home' }),
  limit: z.coerce.number().int().min(1).max(200).default(50),
  cursor: z.string().max(500).optional(),
})
