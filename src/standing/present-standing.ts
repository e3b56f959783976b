import type { z } from 'zod'
import type { EvaluatedTest, Obligation, Standing } from '../domain/answers.ts'
import { instantText, instantTextOrNull } from '../platform/http/scalars.ts'
import type { evaluatedTestOut, standingOut } from './answer-schemas.ts'

/** Shown with every result: what a number is not, and who decides. */
export const caution =
  'Radon levels change with season, weather and use of the building. These results describe the tested locations ' +
  'during the test only. Follow the codes that apply where the building stands, and consult a licensed or certified ' +
  'radon professional before deciding.'
/** The caution with the company's own words after it, which take nothing from it. */
export const cautionWith = (added: string): string => (added === '' ? caution : `${caution} ${added}`)

/** The API's EvaluatedTest: instants as RFC 3339 text, everything else as reckoned. */
export const presentEvaluatedTest = (test: EvaluatedTest): z.output<typeof evaluatedTestOut> => ({
  ...test,
  startAt: instantTextOrNull(test.startAt),
  stopAt: instantTextOrNull(test.stopAt),
  findings: test.findings.map(finding => ({ ...finding, at: instantTextOrNull(finding.at) })),
  workings: [...test.workings.map(mutable)],
  exposures: test.exposures.map(exposure => ({
    ...exposure,
    usableFrom: instantTextOrNull(exposure.usableFrom),
    usableTo: instantTextOrNull(exposure.usableTo),
    leftOut: exposure.leftOut.map(part => ({ ...part, from: instantText(part.from), to: instantText(part.to) })),
    working: exposure.working && mutable(exposure.working),
  })),
})

const presentObligation = (obligation: Obligation) => ({
  ...obligation,
  dueAt: instantText(obligation.dueAt),
  remindAt: obligation.remindAt.map(instantText),
  because: [...obligation.because],
  working: mutable(obligation.working),
})

/** The API's Standing, with the version its ETag is made from. */
export const presentStanding = (kept: {
  standing: Standing
  version: number
  stale: boolean
  cautionAdded?: string
}): z.output<typeof standingOut> => {
  const { standing } = kept
  return {
    ...standing,
    verdict: {
      ...standing.verdict,
      testIds: [...standing.verdict.testIds],
      perLocation: [...standing.verdict.perLocation],
      working: mutable(standing.verdict.working),
    },
    tests: standing.tests.map(presentEvaluatedTest),
    obligations: standing.obligations.map(presentObligation),
    nextChangeAt: instantTextOrNull(standing.nextChangeAt),
    version: kept.version,
    beingRecomputed: kept.stale,
    caution: cautionWith(kept.cautionAdded ?? ''),
  }
}

const mutable = (working: EvaluatedTest['workings'][number]) => ({
  ...working,
  inputs: [...working.inputs],
  lines: [...working.lines],
})
