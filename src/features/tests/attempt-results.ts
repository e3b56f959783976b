import type { EvaluatedTest } from '../../domain/answers.ts'
import type { Qualifier, RadonUnit } from '../../domain/facts.ts'

export type AttemptResult = {
  readonly locationName: string
  readonly role: 'measurement' | 'duplicate'
  readonly value: string
  readonly unit: RadonUnit
  readonly qualifier: Qualifier
  readonly uncertainty: string | null
}

/** What an attempt measured, device by device; blanks and spikes say nothing of the home. */
export const resultsOf = (evaluation: EvaluatedTest | null): AttemptResult[] =>
  (evaluation?.exposures ?? []).flatMap(({ role, result, locationName, uncertainty }) =>
    result && (role === 'measurement' || role === 'duplicate') ? [{ locationName, role, ...result, uncertainty }] : [],
  )
