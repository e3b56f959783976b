import { z } from 'zod'
import { id, instantOut } from '../../platform/http/scalars.ts'
import { evaluatedTestOut } from '../../standing/answer-schemas.ts'
import { radonUnit } from './reported-result.ts'
import { exposureRole } from './schemas.ts'

const changeOut = z.object({
  kind: z.string().meta({ description: 'Kind of the event or part, such as `sealed`, `fan` or `suction-point`' }),
  change: z.enum(['event', 'in', 'out']),
  detail: z.string(),
  at: instantOut,
})

const resultOut = z.object({
  locationName: z.string(),
  role: exposureRole.extract(['measurement', 'duplicate']),
  value: z.string(),
  unit: radonUnit,
  qualifier: z.enum(['=', '<', '>']),
  uncertainty: z.string().nullable(),
})

const attemptOut = z
  .object({
    testId: id,
    endedAt: instantOut,
    changes: z.array(changeOut).meta({
      description: 'What was done to the system since the attempt before it; what is dated only roughly is left out',
    }),
    gauge: z
      .object({ value: z.string(), unit: z.enum(['in. w.c.', 'Pa']), at: instantOut })
      .nullable()
      .meta({ description: "The last reading of the system's gauge up to the end of the test" }),
    results: z.array(resultOut),
    validity: evaluatedTestOut.shape.validity,
    outcome: evaluatedTestOut.shape.outcome,
  })
  .meta({ id: 'Attempt' })

/** The post-mitigation tests of one system, oldest first, and the caution that goes with results. */
export const attemptList = z.object({ items: z.array(attemptOut), caution: z.string() }).meta({ id: 'AttemptList' })
