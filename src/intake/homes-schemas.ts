import { z } from 'zod'
import { filledText, id } from '../platform/http/scalars.ts'
import { homesReadingSchema } from './homes-table/homes-reading.ts'
import { lineFault, question, rowFault } from './proposal-schemas.ts'

const homesConstants = homesReadingSchema.shape.constants
export const toldOfHomes = z
  .strictObject({
    delimiter: homesReadingSchema.shape.delimiter.unwrap().optional(),
    sheets: homesReadingSchema.shape.sheets.optional(),
    decimalMark: z.enum(['.', ',']).optional(),
    dateOrder: z.enum(['ymd', 'dmy', 'mdy']).optional(),
    badRows: homesReadingSchema.shape.badRows.optional(),
    constants: homesConstants.partial().optional(),
    doubles: homesReadingSchema.shape.doubles.optional(),
  })
  .meta({
    id: 'ToldOfHomes',
    description: 'Parts of a homes table’s reading that are told; the rest is read off the file',
  })
export const commitHomesBody = z
  .strictObject({
    reading: homesReadingSchema.optional(),
    saveReadingAs: filledText(100).optional().meta({ description: 'Keep what the columns hold under this name' }),
    again: z.boolean().default(false),
  })
  .meta({ id: 'CommitHomes' })
export const homesCounts = z
  .object({
    fresh: z.number().int().meta({ description: 'Homes taken up' }),
    added: z.number().int().meta({ description: 'Homes on record that something is added to' }),
    filled: z
      .number()
      .int()
      .optional()
      .meta({ description: 'Of these, homes whose year or foundation, unknown until then, is filled in' }),
    same: z.number().int().meta({ description: 'Homes on record that know all of it' }),
    people: z.number().int(),
    systems: z.number().int(),
    tests: z.number().int(),
    notes: z.number().int(),
    joinedRows: z.number().int().meta({ description: 'Rows that are part of a home another row began' }),
    skippedRows: z.number().int().meta({ description: 'Totals, headings and repeated headers' }),
    bad: z.number().int(),
    remarks: z.number().int().meta({ description: 'Cells that were not understood and are kept as notes' }),
    undecided: z.number().int().meta({ description: 'Likely doubles nobody has decided on' }),
    zonesAssumed: z.number().int().meta({ description: 'Homes whose time zone the address does not tell' }),
  })
  .meta({ id: 'HomesCounts' })
const double = z
  .object({
    id: z.string().meta({ description: 'The key of this pair in `doubles`' }),
    line: z.number().int(),
    address: z.string(),
    owner: z.string().nullable(),
    otherKind: z.enum(['file', 'record']),
    otherId: id.nullable().meta({ description: 'The home on record' }),
    otherLine: z.number().int().nullable(),
    otherAddress: z.string(),
    otherOwner: z.string().nullable(),
    why: z.string(),
    said: z.enum(['same', 'other']).nullable(),
  })
  .meta({ id: 'LikelyDouble' })

export const homesProposalOut = z
  .object({
    reading: homesReadingSchema.nullable(),
    questions: z.array(question.omit({ choices: true })),
    hints: z.array(z.string()).meta({ description: 'What holds for the whole table and needs no answer' }),
    rows: z.number().int(),
    columns: z.array(
      z.object({
        sheet: z.string(),
        index: z.number().int(),
        name: z.string(),
        role: z.string(),
        examples: z.array(z.string()),
      }),
    ),
    faults: z.array(lineFault),
    dryRun: z
      .object({
        counts: homesCounts,
        faults: z.array(rowFault),
        remarks: z.array(rowFault),
        skipped: z.array(z.object({ sheet: z.string(), line: z.number().int(), why: z.string() })),
        doubles: z.array(double),
      })
      .nullable(),
  })
  .meta({ id: 'HomesProposal' })
