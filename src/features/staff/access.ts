import type { FieldProblem } from '../../platform/http/forms.ts'
import type { FieldFault } from '../../web/error-summary.tsx'

export const strangers = { open: 'Whoever signs in or sets a password is not known yet.' }
export const anyone = { page: ['owner', 'office', 'crew'] as const }
/** People decide who sees what: only the owner, and only with a password entered just now. */
export const ownerConfirmed = { page: ['owner'] as const, confirmed: true as const }

export const faultsOf = (problems: readonly FieldProblem[] = []): FieldFault[] =>
  problems.map(({ field, message }) => ({ name: field.split('.')[0] ?? '', message }))
