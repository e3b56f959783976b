import { type Contradiction, type PolicyProblem, versionName } from './policy-problem.ts'
import type { Policy } from './policy-schema.ts'

/** Where versions contradict each other: days that overlap, a place with two rule sets, parents that are none. */
export function lineProblems(versions: readonly Policy[]): readonly PolicyProblem[] {
  const sorted = [...versions].sort((a, b) => (a.effectiveFrom < b.effectiveFrom ? -1 : 1))
  return sorted.flatMap((policy, i) =>
    [
      ...dayProblems(policy, sorted.slice(0, i)),
      ...placeProblems(policy, sorted.slice(0, i)),
      ...parentProblems(policy, sorted),
    ].map(problem => ({ version: versionName(policy), ...problem })),
  )
}

function* dayProblems(policy: Policy, before: readonly Policy[]): Generator<Contradiction> {
  const last = before.findLast(({ code }) => code === policy.code)
  if (!last) return
  if (last.effectiveFrom === policy.effectiveFrom) {
    yield {
      path: '/effectiveFrom',
      reason: 'another version of it begins on the same day',
      remedy: 'A published version never changes: let this one begin on a later day.',
    }
  } else if (last.effectiveUntil !== null && last.effectiveUntil > policy.effectiveFrom) {
    yield {
      path: '/effectiveFrom',
      reason: `begins on ${policy.effectiveFrom}, while the version of ${last.effectiveFrom} says it holds until ${last.effectiveUntil}`,
      remedy: `Begin on ${last.effectiveUntil} or later.`,
    }
  }
}

function* placeProblems(policy: Policy, before: readonly Policy[]): Generator<Contradiction> {
  const holder = before.find(({ jurisdiction, code }) => jurisdiction === policy.jurisdiction && code !== policy.code)
  if (holder) {
    yield {
      path: '/jurisdiction',
      reason: `${policy.jurisdiction} already has the rule set ${holder.code}`,
      remedy: `Publish it as a later version of ${holder.code}, or name another jurisdiction.`,
    }
  }
}

// A parent may be replaced by versions with other parents: every way up is walked.
function* parentProblems(policy: Policy, all: readonly Policy[]): Generator<Contradiction> {
  const parentsOf = (code: string) => new Set(all.filter(one => one.code === code).flatMap(one => one.parent ?? []))
  if (policy.parent === null) return
  if (!all.some(({ code }) => code === policy.parent)) {
    yield {
      path: '/parent',
      reason: `no such rule set: ${policy.parent}`,
      remedy: `Publish ${policy.parent} first, or name one of: ${[...new Set(all.map(({ code }) => code))].sort().join(', ')}.`,
    }
    return
  }
  const circle = circleFrom(policy.parent, [policy.code], parentsOf)
  if (circle) {
    yield {
      path: '/parent',
      reason: `a circle of parents: ${circle.join(' → ')}`,
      remedy: 'Let the most general of them have no parent.',
    }
  }
}

function circleFrom(
  code: string,
  below: readonly string[],
  parentsOf: (code: string) => Iterable<string>,
): readonly string[] | null {
  if (code === below[0]) return [...below, code]
  if (below.includes(code)) return null
  for (const parent of parentsOf(code)) {
    const circle = circleFrom(parent, [...below, code], parentsOf)
    if (circle) return circle
  }
  return null
}
