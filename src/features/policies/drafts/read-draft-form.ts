import { addDays } from '../../../domain/calendar/day-sums.ts'
import { chainOf, draftedPolicy, saidGroups } from '../../../domain/policy/draft-change.ts'
import type { Policies } from '../../../domain/policy/policies.ts'
import type { Policy } from '../../../domain/policy/policy-schema.ts'
import type { FieldFault } from '../../../web/error-summary.tsx'
import { type DateReading, readTypedDate } from '../../../web/read-typed-date.ts'
import { needed, type TypedFields, textIn } from '../../../web/typed-fields.ts'
import { draftSections, editsIn, typedAs } from './draft-fields.ts'

/** A rule set with its parents, as it stands. */
export type RuleChain = readonly [Policy, ...Policy[]]

/** As it stands today, or will once the last version that is published begins. */
export function chainIn(policies: Policies, code: string, today: string): RuleChain | null {
  const last = policies.byCode.get(code)?.at(-1)?.effectiveFrom ?? today
  const [first, ...rest] = chainOf(policies, code, last > today ? last : today)
  return first ? [first, ...rest] : null
}

/** What held on the eve of a draft's day, the draft itself left out: its own version, else its parents'. */
export const chainBefore = (policies: Policies, { code, effectiveFrom }: Policy): readonly Policy[] =>
  chainOf(policies, code, addDays(effectiveFrom, -1)).filter(
    one => one.code !== code || one.effectiveFrom < effectiveFrom,
  )

type Asked = { readonly chain: RuleChain; readonly reading: DateReading; readonly today: string }
export type DraftRead = { readonly body: Policy; readonly reason: string } | { readonly faults: readonly FieldFault[] }

/** The version a form asks for: the rule set as it stands with what was written over. */
export function readDraftForm(typed: TypedFields, { chain, reading, today }: Asked): DraftRead {
  const faults: FieldFault[] = []
  const typedDay = textIn(typed, 'from')
  const day = typedDay === '' ? null : readTypedDate(typedDay, reading)
  if (day === null) needed(faults, 'from', 'Say from which day the change holds')
  if (day && !day.ok) faults.push({ name: 'from', message: day.fault })
  const title = textIn(typed, 'source') || needed(faults, 'source', 'Say which law or standard states it')
  const clause = textIn(typed, 'clause') || needed(faults, 'clause', 'Say which clause states it, or that none does')
  const year = textIn(typed, 'year')
  if (year !== '' && !/^(19|20)\d\d$/.test(year)) faults.push({ name: 'year', message: 'Write a year such as 2026' })
  const sections = draftSections(saidGroups(chain))
  const edits = editsIn(typed, sections, faults)
  const named = sections[0]?.fields[0]?.name
  if (edits.length === 0 && faults.length === 0)
    faults.push({ name: named ?? 'from', message: 'Nothing differs from the rules as they are: change a number' })
  if (!day?.ok || !title || !clause || faults.length > 0) return { faults }
  const status = textIn(typed, 'read') === 'yes' ? 'checked' : 'unverified'
  const source = { title, clause, status, year: year === '' ? null : Number(year) } as const
  const body = draftedPolicy(chain, edits, source, { from: day.day, publishedOn: today })
  return { body, reason: textIn(typed, 'reason') }
}

/** The form of a kept draft, filled in as it was. */
export function fieldsOf(chain: RuleChain, body: Policy, reason: string): TypedFields {
  const now = draftSections(saidGroups([body, ...chain.slice(1)]))
  const [key, document] = Object.entries(body.instruments).findLast(([name]) => name.startsWith('change-of-')) ?? []
  const placed = [body.rules, ...Object.values(body.uses)]
    .flatMap(group => Object.values(group).flat())
    .find(entry => entry?.instrument === key)
  const taken = draftSections(saidGroups(chain)).flatMap(({ fields }) =>
    fields.filter(({ kind }) => kind === 'rounding'),
  )
  return {
    ...Object.fromEntries(taken.map(({ name }) => [name, 'none'])),
    ...Object.fromEntries(now.flatMap(({ fields }) => fields.map(field => [field.name, typedAs(field, field.now)]))),
    from: body.effectiveFrom,
    source: document?.title ?? '',
    year: document?.year ? String(document.year) : '',
    clause: placed?.clause ?? '',
    read: placed?.status === 'checked' ? 'yes' : '',
    reason,
  }
}
