import type { FieldProblem, Typed } from './forms.ts'
import { Problem } from './problem.ts'

/** Whether a write came too late: the record has moved on since the form was filled from it. */
export const isOvertaken = (error: unknown): boolean => error instanceof Problem && error.status === 412

const printed = (value: unknown): string => (value === null || value === undefined ? '' : String(value))

/**
 * What the form says to who came second: every field where what is kept now differs from what they typed, with both
 * to see. What they typed stays in the fields, so sending it again is a choice made knowingly.
 */
export function differences(kept: Typed, typed: Typed, fields: readonly string[]): FieldProblem[] {
  const differing = fields.filter(field => printed(kept[field]) !== printed(typed[field]))
  return [
    {
      field: '',
      message: 'Somebody changed this since you opened it. Look at what differs; sending again keeps yours.',
    },
    ...differing.map(field => ({ field, message: `Is now “${printed(kept[field])}”: yours stands in the field` })),
  ]
}
