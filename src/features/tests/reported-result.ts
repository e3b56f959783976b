import { z } from 'zod'
import { decimalText } from '../../platform/http/scalars.ts'

export const radonUnit = z.enum(['pCi/L', 'Bq/m3'])

/** Radon as reported: the decimal stays the text it was, with its unit. */
export const reportedResult = z
  .strictObject({
    value: decimalText,
    unit: radonUnit,
    qualifier: z.enum(['=', '<', '>']).default('=').meta({ description: '`<` below detection, `>` over range' }),
    uncertainty: decimalText.nullish(),
  })
  .meta({ id: 'ReportedResult' })
