import { z } from 'zod'

/** A line of a file that can not be read. */
export const lineFault = z.object({
  line: z.number().int().nullable(),
  code: z.string(),
  problem: z.string(),
  remedy: z.string(),
  content: z.string(),
})

/** A cell of a table that can not be read, or is no fact. */
export const rowFault = z.object({
  sheet: z.string().optional().meta({ description: 'Of a workbook' }),
  line: z.number().int(),
  column: z.string(),
  value: z.string(),
  problem: z.string(),
  remedy: z.string(),
})
/** What a file leaves open. */
export const question = z.object({
  part: z.string(),
  text: z.string(),
  choices: z.array(z.object({ value: z.unknown(), label: z.string() })),
})
export const rowShown = z.object({ line: z.number().int(), cells: z.array(z.string()) })
