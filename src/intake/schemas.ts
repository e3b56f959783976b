import { z } from 'zod'
import { filledText, id, instantOut } from '../platform/http/scalars.ts'
import { isUploadedFile, type UploadedFile } from '../platform/http/upload-body.ts'
import { commitHomesBody, homesCounts, homesProposalOut, toldOfHomes } from './homes-schemas.ts'
import { homesMappingSchema } from './homes-table/homes-reading.ts'
import { commitRecordBody, recordProposalOut, toldOfRecord } from './record-schemas.ts'
import { commitTableBody, tableProposalOut, toldOfTable } from './table-schemas.ts'

export const importKind = z.enum(['monitor-record', 'results-table', 'homes-table'])
const told = z.union([toldOfRecord, toldOfTable, toldOfHomes])

export const commitBody = z.union([commitRecordBody, commitTableBody, commitHomesBody])
export type CommitBody = z.output<typeof commitBody>

const jsonText = <T extends z.ZodType>(schema: T) =>
  z
    .string()
    .max(200_000)
    .transform((text, context) => {
      try {
        return JSON.parse(text) as unknown
      } catch {
        context.addIssue('is no JSON')
        return z.NEVER
      }
    })
    .pipe(schema)

const file = z
  .any()
  .refine((value): value is UploadedFile => isUploadedFile(value), 'is no file: send it as a part with a file name')
  .meta({ type: 'string', format: 'binary' })

export const newImport = z
  .strictObject({
    file,
    kind: importKind,
    propertyId: id.optional().meta({ description: 'The home, whose zone the monitor’s clock is taken to show' }),
    savedReading: filledText(100).optional().meta({ description: 'Name of a reading kept before' }),
    told: jsonText(told).optional().meta({ description: 'JSON: parts of the reading that are told' }),
    commit: jsonText(commitBody).optional().meta({ description: 'JSON: commit at once, with an explicit reading' }),
  })
  .meta({ id: 'NewImport' })

export const importChange = z.strictObject({ told }).meta({ id: 'ImportChange' })

export const importOut = z
  .object({
    id,
    kind: importKind,
    state: z.enum(['proposed', 'committing', 'committed', 'undone']),
    fileName: z.string(),
    sha256: z.string(),
    size: z.number().int(),
    propertyId: id.nullable(),
    testId: id.nullable(),
    summary: z
      .object({
        made: z.number().int(),
        same: z.number().int(),
        homesTakenUp: z.array(id),
        homes: homesCounts.optional().meta({ description: 'Of a table of homes' }),
        left: z
          .array(z.object({ propertyId: id, address: z.string(), why: z.string() }))
          .optional()
          .meta({ description: 'Homes that an undoing left, and why' }),
      })
      .nullable(),
    progress: z
      .object({ done: z.number().int(), total: z.number().int() })
      .nullable()
      .meta({ description: 'Homes written so far, while it is being committed' }),
    failure: z.string().meta({ description: 'Why an import that was begun was not written; empty otherwise' }),
    alreadyImported: z.object({ importId: id, committedAt: instantOut, said: z.string() }).nullable(),
    record: recordProposalOut.nullable(),
    table: tableProposalOut.nullable(),
    homes: homesProposalOut.nullable(),
    version: z.number().int(),
    createdAt: instantOut,
    committedAt: instantOut.nullable(),
    undoneAt: instantOut.nullable(),
  })
  .meta({ id: 'Import' })

export const importListQuery = z.strictObject({
  limit: z.coerce.number().int().min(1).max(200).default(50),
  cursor: z.string().max(500).optional(),
})
export const importList = z
  .object({
    items: z.array(importOut.omit({ record: true, table: true, homes: true, progress: true, alreadyImported: true })),
    next: z.string().nullable(),
  })
  .meta({ id: 'ImportList' })
export const savedReadingOut = z
  .object({ id, kind: importKind, name: z.string(), reading: z.union([toldOfRecord, homesMappingSchema]) })
  .meta({ id: 'SavedReading' })
export const savedReadingList = z.object({ items: z.array(savedReadingOut) }).meta({ id: 'SavedReadingList' })
