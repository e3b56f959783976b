import type { Policies } from './policies.ts'
import type { Policy, RuleGroup, RuleName } from './policy-schema.ts'
import { versionOn } from './resolve-policy.ts'

type Level = NonNullable<RuleGroup['levels']>[number]
type Tier = NonNullable<RuleGroup['tiers']>[number]
type Place = 'rules' | keyof Policy['uses']

/** What a rule set says, with what it takes from its parents: the version each part stands in. */
export type Said<T> = { readonly value: T; readonly in: Policy }
export type SaidGroup = {
  readonly place: Place
  readonly levels: Said<readonly Level[]> | null
  readonly tiers: Said<readonly Tier[]> | null
  readonly rounding: Said<NonNullable<RuleGroup['rounding']>['value']> | null
  /** Single rules of one period, number or yes and no. */
  readonly single: Readonly<Partial<Record<RuleName, Said<string | number | boolean>>>>
}

/** A number of a rule that is to be another: which rule of which group, and its new value. */
export type RuleEdit =
  | {
      readonly place: Place
      readonly list: 'levels'
      readonly index: number
      readonly to: Partial<Pick<Level, 'value' | 'unit' | 'operator'>>
    }
  | {
      readonly place: Place
      readonly list: 'tiers'
      readonly index: number
      readonly to: Partial<Pick<Tier, 'value' | 'unit' | 'operator' | 'deadline'>>
    }
  | { readonly place: Place; readonly rule: RuleName; readonly to: string | number | boolean }
  /** Takes the rounding away. */
  | { readonly place: Place; readonly rule: 'rounding'; readonly to: null }

/** Where the changed rules stand. */
export type DraftSource = {
  readonly title: string
  readonly year: number | null
  readonly clause: string
  readonly status: 'checked' | 'unverified'
}

/** The versions a rule set rests on at a day, itself first. */
export function chainOf(policies: Policies, code: string, onDay: string): readonly Policy[] {
  const chain: Policy[] = []
  for (let at: string | null = code; at !== null && chain.length < 10; ) {
    const version: Policy | null = versionOn(policies, at, onDay) ?? policies.byCode.get(at)?.[0] ?? null
    if (!version) break
    chain.push(version)
    at = version.parent
  }
  return chain
}

/** What the first of a chain says for every building, and for each use it or a parent names. */
export function saidGroups(chain: readonly Policy[]): readonly SaidGroup[] {
  const uses = [...new Set(chain.flatMap(policy => Object.keys(policy.uses)))].sort() as (keyof Policy['uses'])[]
  return [saidIn(chain, 'rules'), ...uses.map(use => saidIn(chain, use))]
}

function saidIn(chain: readonly Policy[], place: Place): SaidGroup {
  const first = <T>(pick: (group: RuleGroup) => T | null | undefined): Said<T> | null => {
    for (const policy of chain) {
      const value = pick(groupOf(policy, place))
      // A rule that a child takes away is not its parent's to say.
      if (value === null) return null
      if (value !== undefined) return { value, in: policy }
    }
    return null
  }
  const names = [...new Set(chain.flatMap(policy => Object.keys(groupOf(policy, place))))] as (keyof RuleGroup)[]
  const single = names.flatMap(name => {
    if (name === 'levels' || name === 'tiers') return []
    const said = first(group => saidValue<unknown>(group[name]))
    return said && typeof said.value !== 'object' ? [[name, said as Said<string | number | boolean>]] : []
  })
  return {
    place,
    levels: first(group => group.levels),
    tiers: first(group => group.tiers),
    rounding: first(group => saidValue(group.rounding)),
    single: Object.fromEntries(single),
  }
}

const saidValue = <T>(rule: { readonly value: T } | null | undefined): T | null | undefined =>
  rule === null ? null : rule?.value

const groupOf = (policy: Policy, place: Place): RuleGroup =>
  place === 'rules' ? policy.rules : (policy.uses[place] ?? {})

/**
 * The next version of a rule set with some of its numbers changed: what it takes from a parent and changes becomes its
 * own. A band that stood at a level stands at it still, unless it is changed itself.
 */
export function draftedPolicy(
  chain: readonly [Policy, ...Policy[]],
  edits: readonly RuleEdit[],
  source: DraftSource,
  days: { readonly from: string; readonly publishedOn: string },
): Policy {
  const [current] = chain
  const key = freeKey(current, `change-of-${days.from}`)
  const draft: Draft = structuredClone({
    ...current,
    effectiveFrom: days.from,
    effectiveUntil: null,
    publishedOn: days.publishedOn,
  })
  draft.instruments = { ...draft.instruments, [key]: { title: source.title, year: source.year } }
  const origin = { instrument: key, clause: source.clause, status: source.status }
  for (const said of saidGroups(chain)) {
    const ours = edits.filter(edit => edit.place === said.place)
    const all = [...ours, ...bandsThatFollow(said, ours)]
    if (all.length === 0) continue
    const group: RuleGroup = { ...groupOf(draft, said.place) }
    const levels = changedList(
      draft,
      said.levels,
      all.filter(edit => 'list' in edit && edit.list === 'levels'),
      origin,
    )
    const tiers = changedList(
      draft,
      said.tiers,
      all.filter(edit => 'list' in edit && edit.list === 'tiers'),
      origin,
    )
    Object.assign(group, levels && { levels }, tiers && { tiers })
    for (const edit of all)
      if ('rule' in edit) Object.assign(group, { [edit.rule]: edit.to === null ? null : { value: edit.to, ...origin } })
    if (said.place === 'rules') draft.rules = group
    else draft.uses = { ...draft.uses, [said.place]: group }
  }
  return draft
}
type Origin = { readonly instrument: string; readonly clause: string; readonly status: 'checked' | 'unverified' }

// null where nothing of the list changes.
function changedList<T extends Level | Tier>(
  draft: Draft,
  said: Said<readonly T[]> | null,
  edits: readonly { readonly index: number; readonly to: Partial<Tier> | Partial<Level> }[],
  origin: Origin,
): readonly T[] | null {
  if (!said || edits.length === 0) return null
  return adopted(draft, said).map((line, n) => {
    const to = edits.filter(({ index }) => index === n)
    return to.length > 0 ? { ...line, ...Object.assign({}, ...to.map(edit => edit.to)), ...origin } : line
  })
}

type Draft = { -readonly [K in keyof Policy]: Policy[K] }

function bandsThatFollow({ place, levels, tiers }: SaidGroup, edits: readonly RuleEdit[]): RuleEdit[] {
  return edits.flatMap(edit => {
    if (!('list' in edit) || edit.list !== 'levels') return []
    const was = levels?.value[edit.index]
    return (tiers?.value ?? []).flatMap((tier, index): RuleEdit[] => {
      const stood = was && tier.value === was.value && tier.unit === was.unit && tier.operator === was.operator
      const itself = edits.some(other => 'list' in other && other.list === 'tiers' && other.index === index)
      const unit = edit.to.unit
      const fits = unit === undefined || unit === 'pCi/L' || unit === 'Bq/m3'
      if (!stood || itself || !fits) return []
      return [
        {
          place,
          list: 'tiers',
          index,
          to: { ...edit.to, ...(unit === undefined ? {} : { unit }) } as { value?: string },
        },
      ]
    })
  })
}

// What a parent says keeps its document when it becomes ours.
function adopted<T extends Level | Tier>(draft: Draft, { value, in: stands }: Said<readonly T[]>): readonly T[] {
  if (stands.code === draft.code) return value
  return value.map(line => {
    const document = stands.instruments[line.instrument]
    if (!document) return line
    const same = draft.instruments[line.instrument]
    const key =
      same && same.title !== document.title ? `${stands.code.toLowerCase()}-${line.instrument}` : line.instrument
    draft.instruments = { ...draft.instruments, [key]: document }
    return { ...line, instrument: key }
  })
}

const freeKey = ({ instruments }: Policy, wanted: string): string =>
  Object.hasOwn(instruments, wanted) ? freeKey({ instruments } as Policy, `${wanted}-again`) : wanted
