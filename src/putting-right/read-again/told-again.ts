import { z } from 'zod'
import type { KeptReading } from '../../intake/import-rows.ts'
import { readingSchema } from '../../intake/monitor-file/reading.ts'
import { problem } from '../../platform/http/problem.ts'

/** How a kept file is to be read this time; what is not told stays as it was read. */
export const toldAgain = z
  .strictObject({
    unit: z.enum(['pCi/L', 'Bq/m3']).optional(),
    dateOrder: z.enum(['ymd', 'dmy', 'mdy']).optional(),
    decimalMark: z.enum(['.', ',']).optional(),
    clock: readingSchema.shape.clock.unwrap().optional().meta({ description: 'Of a monitor’s record only' }),
    stamp: readingSchema.shape.stamp.optional().meta({ description: 'Of a monitor’s record only' }),
    repeatedHour: z
      .enum(['in-order', 'file-order', 'leave-out'])
      .optional()
      .meta({ description: 'Of a monitor’s record only' }),
  })
  .refine(told => Object.keys(told).length > 0, 'tells nothing: say the unit, the clock, or how dates are written')
  .meta({ id: 'ToldAgain', description: 'How a kept file is to be read this time; what is not told stays' })
export type ToldAgain = z.output<typeof toldAgain>

/** The reading a file was saved with, with what is told of it now. */
export function readingAgain(kept: KeptReading, told: ToldAgain): KeptReading {
  if (kept.kind === 'monitor-record') {
    const reading = kept.reading && { ...kept.reading, ...told }
    return { kind: kept.kind, told: { ...kept.told, ...told }, reading }
  }
  if (kept.kind === 'homes-table')
    throw problem(
      409,
      'not-read-again',
      'A table of homes made more than results, so it is not read again: undo this import, and bring the table in anew as it is to be read.',
    )
  refuseClock(told)
  const { unit, dateOrder, decimalMark } = told
  const reading = kept.reading && {
    ...kept.reading,
    ...(dateOrder ? { dateOrder } : {}),
    ...(decimalMark ? { decimalMark } : {}),
    ...(unit ? { constants: { ...kept.reading.constants, unit }, columns: withoutUnits(kept.reading.columns) } : {}),
  }
  const constants = { ...kept.told.constants, ...(unit ? { unit } : {}) }
  const columns = reading ? { columns: reading.columns } : {}
  return { kind: kept.kind, told: { ...kept.told, dateOrder, decimalMark, constants, ...columns }, reading }
}

type Columns = NonNullable<Extract<KeptReading, { kind: 'results-table' }>['reading']>['columns']
// A unit that is told holds for every row: the column that names another was what misled.
const withoutUnits = (columns: Columns): Columns =>
  columns.map(column => (column.role === 'radon-unit' ? { ...column, role: 'ignored' as const } : column))

function refuseClock(told: ToldAgain): void {
  const ofMonitor = (['clock', 'stamp', 'repeatedHour'] as const).filter(part => told[part] !== undefined)
  if (ofMonitor.length > 0)
    throw problem(
      422,
      'wrong-kind',
      'The times of a table are on the clock of each home.',
      ofMonitor.map(part => ({
        pointer: `/told/${part}`,
        code: 'wrong-kind',
        detail: 'A table of results has no clock of its own: correct the time zone of the home instead.',
      })),
    )
}
