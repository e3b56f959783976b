import type { LocalDay } from '../facts.ts'

/** What is wrong with a version of a rule set, where (a JSON pointer into it), and what to do about it. */
export type PolicyProblem = {
  /** `US@2019-01-01`; empty where it could not be read so far. */
  readonly version: string
  readonly path: string
  readonly reason: string
  readonly remedy: string
}

/** A problem of the version that is being read. */
export type Contradiction = Omit<PolicyProblem, 'version'>

export const versionName = ({ code, effectiveFrom }: { readonly code: string; readonly effectiveFrom: LocalDay }) =>
  `${code}@${effectiveFrom}`

/** RFC 6901: `/rules/tiers/0/operator`. */
export const pointerTo = (path: readonly PropertyKey[]): string =>
  path.map(step => `/${String(step).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('')
