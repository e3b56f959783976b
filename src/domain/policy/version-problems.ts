import { bandProblems } from './band-problems.ts'
import { type Contradiction, pointerTo } from './policy-problem.ts'
import type { Policy, RuleGroup } from './policy-schema.ts'

/** Where one version of a rule set contradicts itself or leaves out what it needs, whatever its parents say. */
export function* versionProblems(policy: Policy): Generator<Contradiction> {
  if (policy.parent === policy.code) {
    yield { path: '/parent', reason: 'a rule set cannot be its own parent', remedy: 'Name another, or null.' }
  }
  if (policy.effectiveUntil !== null && policy.effectiveUntil <= policy.effectiveFrom) {
    yield {
      path: '/effectiveUntil',
      reason: `ends on ${policy.effectiveUntil}, before it begins on ${policy.effectiveFrom}`,
      remedy: 'State the first day on which it no longer holds, or null.',
    }
  }
  yield* groupProblems(policy, ['rules'], policy.rules)
  for (const [use, group] of Object.entries(policy.uses)) yield* groupProblems(policy, ['uses', use], group)
}

function* groupProblems(policy: Policy, at: readonly string[], group: RuleGroup): Generator<Contradiction> {
  yield* sourceProblems(policy, at, group)
  yield* bandProblems(at, group)
  yield* valueProblems(at, group)
}

function* sourceProblems(policy: Policy, at: readonly string[], group: RuleGroup): Generator<Contradiction> {
  for (const [name, entry] of Object.entries(group)) {
    for (const [i, placed] of [entry].flat().entries()) {
      if (!placed) continue
      const path = [...at, name, ...(Array.isArray(entry) ? [i] : [])]
      if (!Object.hasOwn(policy.instruments, placed.instrument)) {
        yield {
          path: pointerTo([...path, 'instrument']),
          reason: `no such instrument: ${placed.instrument}`,
          remedy: `Add it to /instruments, or name one of: ${Object.keys(policy.instruments).join(', ') || 'none is stated'}.`,
        }
      }
      if (placed.clause.trim() === '') {
        yield {
          path: pointerTo([...path, 'clause']),
          reason: 'a rule without a source',
          remedy: 'Say which clause of its document states it, or that none does.',
        }
      }
    }
  }
}

function* valueProblems(at: readonly string[], group: RuleGroup): Generator<Contradiction> {
  for (const [i, band] of (group.pairDifference?.value ?? []).entries()) {
    if (band.warnsAtPercent >= band.controlAtPercent) {
      yield {
        path: pointerTo([...at, 'pairDifference', 'value', i, 'controlAtPercent']),
        reason: `out of control at ${band.controlAtPercent} %, but warned of only at ${band.warnsAtPercent} %`,
        remedy: 'The control limit lies above the warning limit: exchange or correct them.',
      }
    }
  }
  const lists = {
    pairDifference: group.pairDifference?.value.map(band => band.meanFrom),
    seasonalFactors: group.seasonalFactors?.value.map(
      ({ startMonth, months }) => `month ${startMonth}, ${months} months`,
    ),
  }
  for (const [name, keys = []] of Object.entries(lists)) {
    for (const [i, key] of keys.entries()) {
      if (keys.indexOf(key) < i) {
        yield {
          path: pointerTo([...at, name, 'value', i]),
          reason: `says a second time what holds for ${key}`,
          remedy: 'Keep one of the two.',
        }
      }
    }
  }
  const days = group.reminderLadder?.value.days ?? []
  for (const [i, day] of days.entries()) {
    if (days.indexOf(day) < i) {
      yield {
        path: pointerTo([...at, 'reminderLadder', 'value', 'days', i]),
        reason: `reminds twice on the same day (${day})`,
        remedy: 'Keep each day once.',
      }
    }
  }
}
