import type { RuleRef } from '../answers.ts'
import { type Period, periodWords } from '../calendar/day-sums.ts'
import type { Rule } from '../policy/resolved-policy.ts'
import type { ClosingQuestion } from './closing-question.ts'

const hourMs = 3_600_000

/** A wait that a rule asks for, in milliseconds; `rule` is null where none is known, and nothing is waited for. */
export type Wait = { readonly ms: number; readonly rule: RuleRef | null; readonly words: string }

/** The rules of the home's law that a closing hangs on. */
export type ClosingRules = {
  /** Least length of the test; null: no rule known, and nothing can be reckoned. */
  readonly length: Wait | null
  /** Of the waits after the fan came on the longest counts; all are told. */
  readonly afterFanStart: readonly Wait[]
  readonly closedBefore: Wait
  /** Within which span after activation the post-mitigation test is to be done. */
  readonly within: Rule<Period> | null
}

export function closingRulesOf({ law, method }: ClosingQuestion): ClosingRules {
  const rules = law?.rules ?? {}
  const least = rules.minimumHours?.value[method]
  const length =
    rules.minimumHours && least !== undefined
      ? { ms: least * hourMs, rule: rules.minimumHours.ref, words: `a test of at least ${least} h` }
      : null
  // A rule for short tests only holds for one shorter than its limit.
  const holds = (under: Rule<number> | undefined) =>
    under !== undefined && length !== null && length.ms < under.value * hourMs
  const { fanRunningHours: fan, postMitigationEarliestHours: earliest, closedBeforeHours: closed } = rules
  return {
    length,
    afterFanStart: [
      ...(fan && holds(rules.fanRunningUnderHours)
        ? [{ ms: fan.value * hourMs, rule: fan.ref, words: `the fan has run ${fan.value} h before the test` }]
        : []),
      ...(earliest
        ? [
            {
              ms: earliest.value * hourMs,
              rule: earliest.ref,
              words: `no sooner than ${earliest.value} h after the fan start`,
            },
          ]
        : []),
    ],
    closedBefore:
      closed && holds(rules.closedBeforeUnderHours)
        ? {
            ms: closed.value * hourMs,
            rule: closed.ref,
            words: `closed ${closed.value} h before the test and all through`,
          }
        : {
            ms: 0,
            rule: rules.closedDuringUpToHours?.ref ?? null,
            words: rules.closedDuringUpToHours ? 'closed all through the test' : noRule,
          },
    within: rules.postMitigationWithin ?? null,
  }
}

export const noRule = 'no rule known'
export const longest = (waits: readonly Wait[]): number => Math.max(0, ...waits.map(({ ms }) => ms))
export const withinWords = (within: Rule<Period>): string => `done within ${periodWords(within.value)} of the fan start`
