import type { Finding, RuleRef, Validity } from '../answers.ts'
import type { Instant } from '../facts.ts'

type Found = {
  readonly allowed: string
  readonly found: string
  readonly rule: RuleRef | null
  readonly exposureId?: string
  readonly at?: Instant | null
}

const finding = (
  code: string,
  effect: Finding['effect'],
  { allowed, found, rule, exposureId, at }: Found,
): Finding => ({
  code,
  exposureId: exposureId ?? null,
  at: at ?? null,
  allowed,
  found,
  effect,
  rule,
})

/** A breach after which the result is not one under the protocol. */
export const invalidates = (code: string, found: Found): Finding => finding(code, 'invalidates', found)
/** A deviation, or a fact nobody wrote down: it is told, and the result stands. */
export const warns = (code: string, found: Found): Finding => finding(code, 'warns', found)

export function validityOf(findings: readonly Finding[]): Validity {
  if (findings.some(({ effect }) => effect === 'invalidates')) return 'invalid'
  return findings.length > 0 ? 'valid-with-notes' : 'valid'
}
