import type { FieldProblem } from '../../platform/http/forms.ts'
import type { FieldFault } from '../../web/error-summary.tsx'

/** Faults as the form's fields name them; `renamed` where a verb calls a field otherwise than the form does. */
export const faultsOf = (
  problems: readonly FieldProblem[] = [],
  renamed: Readonly<Record<string, string>> = {},
): FieldFault[] => problems.map(({ field, message }) => ({ name: renamed[field] ?? field, message }))
