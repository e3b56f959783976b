import type { LevelRef, Obligation, ObligationKind, Standing, VerdictOutcome } from '../answers.ts'
import type { LocalDay } from '../facts.ts'

/** What somebody owes, as far as two standings can differ in it. */
export type Owed = { readonly dueOn: LocalDay; readonly recommended: boolean }

/** How a home would stand otherwise; `null` and empty where it would not. */
export type StandingDifference = {
  readonly verdict: { readonly before: VerdictOutcome; readonly after: VerdictOutcome } | null
  /** The level a result is held against. */
  readonly level: { readonly before: string | null; readonly after: string | null } | null
  readonly obligations: readonly {
    readonly kind: ObligationKind
    /** null: not owed. */
    readonly before: Owed | null
    readonly after: Owed | null
  }[]
}

/** What of a home's verdict, obligations and deadlines differs between two standings of the same facts; null when nothing does. */
export function standingDifference(before: Standing, after: Standing): StandingDifference | null {
  const verdict = changed(before.verdict.outcome, after.verdict.outcome)
  const level = changed(levelText(before.verdict.level), levelText(after.verdict.level))
  const keys = [...new Set([...before.obligations, ...after.obligations].map(keyOf))].sort()
  const obligations = keys.flatMap(key => {
    const [was, is] = [before, after].map(({ obligations }) => obligations.find(owed => keyOf(owed) === key))
    const sides = { before: owedOf(was), after: owedOf(is) }
    const same = was && is && was.dueOn === is.dueOn && was.recommended === is.recommended
    return same ? [] : [{ kind: (was ?? is)!.kind, ...sides }]
  })
  return verdict || level || obligations.length > 0 ? { verdict, level, obligations } : null
}

/** Whether a difference adds something owed or takes it away; moving its day is not counted. */
export const changesDuty = ({ obligations }: StandingDifference): boolean =>
  obligations.some(({ before, after }) => before === null || after === null || before.recommended !== after.recommended)

/** Whether something that is owed either way falls due on another day. */
export const movesDeadline = ({ obligations }: StandingDifference): boolean =>
  obligations.some(({ before, after }) => before !== null && after !== null && before.dueOn !== after.dueOn)

const changed = <T>(before: T, after: T) => (before === after ? null : { before, after })
const keyOf = ({ kind, causeId }: Obligation) => `${kind} ${causeId}`
const owedOf = (owed: Obligation | undefined): Owed | null =>
  owed ? { dueOn: owed.dueOn, recommended: owed.recommended } : null
const levelText = (level: LevelRef | null) => (level ? `${level.operator} ${level.value} ${level.unit}` : null)
