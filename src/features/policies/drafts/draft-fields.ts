import { periodWords } from '../../../domain/calendar/day-sums.ts'
import type { RuleEdit, SaidGroup } from '../../../domain/policy/draft-change.ts'
import type { RuleName } from '../../../domain/policy/policy-schema.ts'
import type { FieldFault } from '../../../web/error-summary.tsx'
import { readTypedNumber } from '../../../web/read-typed-number.ts'
import { type TypedFields, textIn } from '../../../web/typed-fields.ts'
import { ruleSaid } from '../rule-words.ts'

/** A number of a rule set that the form offers: how it is called, what it says now, and the change another value is. */
export type DraftField = {
  readonly name: string
  readonly label: string
  readonly kind: 'number' | 'unit' | 'operator' | 'period' | 'yes' | 'rounding'
  readonly now: string
  /** What a number counts, where its rule has one unit only. */
  readonly unit?: string
  readonly edit: (value: string) => RuleEdit
}
export type FieldSection = {
  readonly place: SaidGroup['place']
  readonly title: string
  readonly fields: readonly DraftField[]
}

const places: Readonly<Record<string, string>> = {
  rules: 'All buildings',
  home: 'Homes',
  'rented-home': 'Rented homes',
  school: 'Schools',
  workplace: 'Workplaces',
  'public-building': 'Public buildings',
}

/** Every number that can be changed, by kind of building. */
export const draftSections = (groups: readonly SaidGroup[]): readonly FieldSection[] =>
  groups.flatMap(group => {
    const { place } = group
    const title = places[place] ?? place
    return [
      {
        place,
        title: `${title}: levels and bands`,
        fields: [...listFields(group, 'levels'), ...listFields(group, 'tiers'), ...roundingField(group)],
      },
      { place, title: `${title}: what decides, tests and times`, fields: singleFields(group) },
    ].filter(({ fields }) => fields.length > 0)
  })

export const gasUnits: readonly string[] = ['pCi/L', 'Bq/m3']

function listFields({ place, levels, tiers }: SaidGroup, list: 'levels' | 'tiers'): DraftField[] {
  const lines = (list === 'levels' ? levels : tiers)?.value ?? []
  return lines.flatMap((line, index) => {
    const field = (
      part: 'value' | 'unit' | 'operator' | 'deadline',
      kind: DraftField['kind'],
      label: string,
      now: string,
    ) => ({
      ...{ name: `${place}.${list}.${index}.${part}`, label, kind, now },
      edit: (value: string) => ({ place, list, index, to: { [part]: value } }) as RuleEdit,
    })
    const deadline = 'deadline' in line && line.deadline !== null ? line.deadline : null
    return [
      field('value', 'number', line.label, line.value),
      ...(gasUnits.includes(line.unit) ? [field('unit', 'unit', `${line.label}: unit`, line.unit)] : []),
      field('operator', 'operator', `${line.label}: exceeded`, line.operator),
      ...(deadline === null ? [] : [field('deadline', 'period', `${line.label}: to be done within`, deadline)]),
    ]
  })
}

function roundingField({ place, rounding }: SaidGroup): DraftField[] {
  if (!rounding) return []
  const { name: label, value } = ruleSaid('rounding', { value: rounding.value } as never)
  return [
    {
      name: `${place}.rounding`,
      label,
      kind: 'rounding',
      now: value,
      edit: () => ({ place, rule: 'rounding', to: null }),
    },
  ]
}

function singleFields({ place, single }: SaidGroup): DraftField[] {
  return (Object.keys(single) as RuleName[]).flatMap(rule => {
    const { value } = single[rule]!
    const kind = typeof value === 'boolean' ? 'yes' : typeof value === 'number' ? 'number' : 'period'
    // A word that stands for a way of deciding is not a number.
    if (kind === 'period' && !/^P\d+[DWMY]$/.test(String(value))) return []
    const { name: label } = ruleSaid(rule, { value } as never)
    const edit = (text: string): RuleEdit => ({ place, rule, to: readAs(kind, text) })
    const unit = /Hours$/.test(rule) ? 'h' : /Cm$/.test(rule) ? 'cm' : undefined
    return [{ name: `${place}.${rule}`, label, kind, now: String(value), edit, ...(unit ? { unit } : {}) }]
  })
}

const readAs = (kind: DraftField['kind'], text: string) =>
  kind === 'yes' ? text === 'true' : kind === 'number' ? Number(text) : text

/** How a field's value is typed: `90 days` for P90D. */
export const typedAs = ({ kind }: DraftField, value: string): string => (kind === 'period' ? periodWords(value) : value)

/** The changes a form asks for; an untouched field asks for none. Faults are added under their field. */
export function editsIn(
  typed: TypedFields,
  sections: readonly FieldSection[],
  faults: FieldFault[],
): readonly RuleEdit[] {
  return sections
    .flatMap(({ fields }) => fields)
    .flatMap(field => {
      if (!Object.hasOwn(typed, field.name)) return []
      const text = textIn(typed, field.name)
      if (text === typedAs(field, field.now)) return []
      const read =
        text === ''
          ? { fault: `Write a value, or what stands now: ${typedAs(field, field.now)}` }
          : readField(field, text)
      if ('fault' in read) faults.push({ name: field.name, message: read.fault })
      return 'fault' in read || read.value === field.now ? [] : [field.edit(read.value)]
    })
}

const units: Readonly<Record<string, string>> = { day: 'D', week: 'W', month: 'M', year: 'Y' }
function readField({ kind }: DraftField, text: string): { readonly value: string } | { readonly fault: string } {
  if (kind === 'number') {
    const read = readTypedNumber(text)
    if (!read.ok) return { fault: read.fault }
    return Number(read.value) > 0 ? { value: read.value } : { fault: 'Write a number above zero' }
  }
  if (kind !== 'period') return { value: text }
  const [, count, unit] = /^(\d{1,4})\s*(day|week|month|year)s?$/i.exec(text) ?? []
  if (!count || !unit || Number(count) === 0)
    return { fault: 'Write a number of days, weeks, months or years: 90 days' }
  return { value: `P${Number(count)}${units[unit.toLowerCase()]}` }
}
