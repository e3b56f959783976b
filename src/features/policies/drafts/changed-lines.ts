import type { Policy, RuleGroup } from '../../../domain/policy/policy-schema.ts'
import { ruleLines } from '../rule-lines.ts'

/** A rule as it would be and as it is; `before` null where nothing of the kind stood. */
export type ChangedLine = {
  readonly name: string
  readonly before: string | null
  readonly after: string
  readonly clause: string
  readonly status: 'checked' | 'unverified'
}

/** What a draft says otherwise than the rule set does, with what that takes from its parents. */
export function changedLines(chain: readonly Policy[], draft: Policy): readonly ChangedLine[] {
  const places = ['rules', ...Object.keys(draft.uses)] as ('rules' | keyof Policy['uses'])[]
  return places.flatMap(place => {
    const was = chain.map(policy => ruleLines(groupIn(policy, place), policy.instruments))
    return ruleLines(groupIn(draft, place), draft.instruments).flatMap(({ name, value, clause, status }) => {
      const before = was.flatMap(lines => lines.filter(line => line.name === name))[0]?.value ?? null
      return before === value ? [] : [{ name, before, after: value, clause, status }]
    })
  })
}

const groupIn = (policy: Policy, place: 'rules' | keyof Policy['uses']): RuleGroup =>
  place === 'rules' ? policy.rules : (policy.uses[place] ?? {})
