import type { FieldProblem } from '../../platform/http/forms.ts'
import type { FieldFault } from '../../web/error-summary.tsx'

/** Faults as the form's fields name them; `renamed` where a verb calls a field otherwise than the form does. */
export const faultsOf = (
  problems: readonly FieldProblem[] = [],
  renamed: Readonly<Record<string, string>> = {},
): FieldFault[] => problems.map(({ field, message }) => ({ name: renamed[field] ?? field, message }))

/** What tells the fields of one part's forms from those of another's on the same page. */
export const partPrefix = (partId: string): string => `${partId.slice(-6)}-`

/** Forms that share a page carry the form's name in their fields; this takes it off. Hidden fields have none. */
export const unprefixed = (body: unknown, prefix: string): Record<string, unknown> =>
  Object.fromEntries(
    Object.entries((body ?? {}) as Record<string, unknown>)
      .filter(([name]) => !name.startsWith('_'))
      .map(([name, value]) => [name.startsWith(prefix) ? name.slice(prefix.length) : name, value]),
  )
