import type { z } from 'zod'
import { instantText } from '../../platform/http/scalars.ts'
import { caution } from '../../standing/present-standing.ts'
import type { Attempt } from './attempt-queries.ts'
import { resultsOf } from './attempt-results.ts'
import type { attemptList } from './attempt-schemas.ts'

type Shown = z.output<typeof attemptList>

const presentAttempt = ({ testId, endedAt, changes, gauge, evaluation }: Attempt): Shown['items'][number] => ({
  testId,
  endedAt: instantText(endedAt),
  changes: changes.map(({ kind, change, detail, at }) => ({ kind, change, detail, at: instantText(at) })),
  gauge: gauge && { value: gauge.value, unit: gauge.unit, at: instantText(gauge.at) },
  results: resultsOf(evaluation).map(({ locationName, role, value, unit, qualifier, uncertainty }) => ({
    locationName,
    role,
    value,
    unit,
    qualifier,
    uncertainty,
  })),
  validity: evaluation?.validity ?? null,
  outcome: evaluation?.outcome ?? null,
})

/** The attempts after mitigation as the API shows them. */
export const presentAttempts = (attempts: readonly Attempt[]): Shown => ({
  items: attempts.map(presentAttempt),
  caution,
})
