import type { z } from 'zod'
import { faultWords, shown } from './fault-words.ts'
import type { Fault } from './problem.ts'
import { pointed } from './storable.ts'

export type Read<T> =
  | { readonly ok: true; readonly data: T }
  | { readonly ok: false; readonly faults: readonly Fault[] }

const most = 100

/** Reads data by a schema, or tells all that does not fit: where, what is found there, what is allowed. */
export function readBy<S extends z.ZodType>(schema: S, data: unknown): Read<z.output<S>> {
  const read = schema.safeParse(data, { error: faultWords, reportInput: true })
  if (read.success) return { ok: true, data: read.data }
  return { ok: false, faults: read.error.issues.flatMap(issue => faultsOf(issue)).slice(0, most) }
}

function faultsOf(issue: z.core.$ZodIssue, above: readonly PropertyKey[] = []): Fault[] {
  const path = [...above, ...issue.path]
  const at = (steps: readonly PropertyKey[]) => steps.map(step => `/${pointed(String(step))}`).join('')
  if (issue.code === 'unrecognized_keys')
    return issue.keys.map(key => ({ pointer: at([...path, key]), code: 'unknown-field', detail: issue.message }))
  if (issue.code === 'invalid_union' && issue.errors.length > 0) return closest(issue.errors, path)
  const found = typeof issue.input === 'object' ? undefined : shown(issue.input)
  return [
    {
      pointer: at(path),
      code: codes[issue.code] ?? 'invalid',
      detail: issue.message,
      ...(issue.input !== undefined && found && { found }),
    },
  ]
}

// Of a union, the member with the fewest complaints is most likely the one that was meant.
const closest = (members: readonly (readonly z.core.$ZodIssue[])[], path: readonly PropertyKey[]): Fault[] =>
  members
    .map(issues => issues.flatMap(issue => faultsOf(issue, path)))
    .reduce((one, other) => (other.length < one.length ? other : one))

const codes: Readonly<Record<string, string>> = {
  invalid_type: 'wrong-type',
  invalid_value: 'not-allowed',
  invalid_format: 'bad-format',
  too_small: 'too-small',
  too_big: 'too-big',
  not_multiple_of: 'wrong-step',
}
