import type { Change, Obligation, Standing } from '../answers.ts'
import { canonicalText } from './canonical-text.ts'

const keyOf = ({ kind, causeId }: Obligation) => `${kind} ${causeId}`

/** What became different between two standings of a home; `before` is null when it had none. */
export function diffStanding(before: Standing | null, after: Standing): readonly Change[] {
  return [...verdictChange(before, after), ...obligationChanges(before, after), ...testChanges(before, after)]
}

function* verdictChange(before: Standing | null, after: Standing): Generator<Change> {
  const was = before?.verdict
  const is = after.verdict
  if (was && canonicalText(was) === canonicalText(is)) return
  const same = was?.outcome === is.outcome && was.reason === is.reason
  yield { kind: 'verdict', what: was && !same ? `${was.outcome} → ${is.outcome}` : is.outcome }
}

function* obligationChanges(before: Standing | null, after: Standing): Generator<Change> {
  const old = new Map((before?.obligations ?? []).map(obligation => [keyOf(obligation), obligation]))
  for (const obligation of after.obligations) {
    const was = old.get(keyOf(obligation))
    old.delete(keyOf(obligation))
    if (!was) yield { kind: 'obligation-added', what: `${obligation.kind}, due ${obligation.dueOn}` }
    else if (was.dueOn !== obligation.dueOn) {
      yield { kind: 'obligation-moved', what: `${obligation.kind}, ${was.dueOn} → ${obligation.dueOn}` }
    }
  }
  for (const ended of old.values()) yield { kind: 'obligation-ended', what: `${ended.kind}, due ${ended.dueOn}` }
}

function* testChanges(before: Standing | null, after: Standing): Generator<Change> {
  const old = new Map((before?.tests ?? []).map(test => [test.testId, canonicalText(test)]))
  for (const test of after.tests) {
    if (old.get(test.testId) !== canonicalText(test)) yield { kind: 'test-evaluated', what: test.testId }
  }
}
