import { z } from 'zod'
import { lineFault, question, rowFault, rowShown } from './proposal-schemas.ts'
import { tableReadingSchema } from './results-table/table-reading.ts'

const tableConstants = tableReadingSchema.shape.constants
export const toldOfTable = z
  .strictObject({
    delimiter: tableReadingSchema.shape.delimiter.optional(),
    decimalMark: z.enum(['.', ',']).optional(),
    columns: tableReadingSchema.shape.columns.optional(),
    dateOrder: z.enum(['ymd', 'dmy', 'mdy']).optional(),
    unknownHomes: tableReadingSchema.shape.unknownHomes.optional(),
    constants: tableConstants.partial().optional(),
  })
  .meta({ id: 'ToldOfTable', description: 'Parts of a table’s reading that are told; the rest is read off the file' })

export const commitTableBody = z
  .strictObject({ reading: tableReadingSchema.optional(), again: z.boolean().default(false) })
  .meta({ id: 'CommitTable' })
export const tableProposalOut = z
  .object({
    reading: tableReadingSchema.nullable(),
    questions: z.array(question.omit({ choices: true })),
    rows: z.number().int(),
    preview: z.array(rowShown),
    faults: z.array(lineFault),
    dryRun: z
      .object({
        fresh: z.number().int(),
        same: z.number().int(),
        bad: z.number().int(),
        homesToTakeUp: z.number().int(),
        kitsAnswered: z.number().int().meta({ description: 'Of the fresh, answers to kits that wait for one' }),
        faults: z.array(rowFault),
      })
      .nullable(),
  })
  .meta({ id: 'TableProposal' })
