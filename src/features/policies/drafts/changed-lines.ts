import type { Policy, RuleGroup } from '../../../domain/policy/policy-schema.ts'
import { ruleLines } from '../rule-lines.ts'
import { nameOf, rulesInOrder } from '../rule-words.ts'

/** A rule as it would be and as it is; null where nothing of the kind stands. */
export type ChangedLine = {
  readonly name: string
  readonly before: string | null
  readonly after: string | null
  readonly clause: string
  readonly status: 'checked' | 'unverified'
}

/** What a draft says otherwise than the rule set does, with what that takes from its parents. */
export function changedLines(chain: readonly Policy[], draft: Policy): readonly ChangedLine[] {
  const places = ['rules', ...Object.keys(draft.uses)] as ('rules' | keyof Policy['uses'])[]
  return places.flatMap(place => {
    const group = groupIn(draft, place)
    const was = chain.flatMap(policy => ruleLines(groupIn(policy, place), policy.instruments))
    const before = (name: string) => was.find(line => line.name === name) ?? null
    const said = ruleLines(group, draft.instruments).flatMap(({ name, value, clause, status }): ChangedLine[] => {
      const stood = before(name)?.value ?? null
      return stood === value ? [] : [{ name, before: stood, after: value, clause, status }]
    })
    const gone = rulesInOrder.flatMap((rule): ChangedLine[] => {
      const stood = group[rule] === null ? was.find(line => line.name === nameOf(rule)) : undefined
      return stood ? [{ ...stood, before: stood.value, after: null }] : []
    })
    return [...said, ...gone]
  })
}

const groupIn = (policy: Policy, place: 'rules' | keyof Policy['uses']): RuleGroup =>
  place === 'rules' ? policy.rules : (policy.uses[place] ?? {})
