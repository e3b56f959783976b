import type { Baseline } from '../baseline/baseline.ts'

/** What a caller reports, by the codes of callbacks; a sale is no fault, but it is what many calls are about. */
export type Reported =
  | 'alarm'
  | 'gauge-at-zero'
  | 'gauge-changed'
  | 'noise'
  | 'water'
  | 'ice'
  | 'odour'
  | 'high-result'
  | 'damage'
  | 'power'
  | 'other'
  | 'sold'

/** Whole years; two where the day the fan came in is known roughly. */
export type FanAge = { readonly atLeast: number; readonly atMost: number }

/** What is on record of the system that is called about. */
export type CallFacts = {
  readonly system: 'none' | 'passive' | 'with-fan'
  /** Whether a gauge is on record, by itself or by a reading of one. */
  readonly gauge: boolean
  readonly baseline: Baseline | null
  readonly fanAge: FanAge | null
}

/** What an answer points to. It is where to look first, not a finding. */
export type Meaning = { readonly answer: string; readonly means: string }

/** A question in the order it is asked: why, and what the answer means at this home. */
export type FirstQuestion = {
  readonly key: string
  readonly ask: string
  readonly why: string
  readonly meanings: readonly Meaning[]
  /** Where it is published; null is common practice, no source. */
  readonly source: string | null
}
export type FirstQuestions = readonly [FirstQuestion, FirstQuestion, FirstQuestion]
