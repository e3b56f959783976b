import type { Standing } from '../answers.ts'

/** A home that was recorded in error stays readable as it stood, and nothing is owed for it any more. */
export const ofVoidedHome = (standing: Standing): Standing => ({ ...standing, obligations: [], nextChangeAt: null })
