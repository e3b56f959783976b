import type { z } from 'zod'
import { type PolicyProblem, pointerTo } from './policy-problem.ts'

type Issue = z.core.$ZodIssue

/** What of a rule set does not have its shape: fields missing, unknown or unreadable. */
export function shapeProblems(json: unknown, issues: readonly Issue[]): PolicyProblem[] {
  return issues.flatMap(issue =>
    issue.code === 'unrecognized_keys'
      ? issue.keys.map(key => problemAt([...issue.path, key], 'no rule set has a field of this name', unknownField))
      : problemAt(issue.path, ...saidOf(issue, valueAt(json, issue.path))),
  )
}

const problemAt = (path: readonly PropertyKey[], reason: string, remedy: string): PolicyProblem => ({
  version: '',
  path: pointerTo(path),
  reason,
  remedy,
})

const unknownField = 'Correct its name, or take it out.'

// What the fields that are forgotten most are to say; the others are told what they may be.
const wanted: Readonly<Record<string, string>> = {
  operator: 'State ">=" where the document says "at or above", ">" where it says "above" or "exceeds".',
  instrument: 'Name the document the rule stands in: a key of /instruments.',
  clause: 'Say which clause of the document states the rule.',
  status: 'State "checked" if the document itself was read, else "unverified".',
  deadline: 'State a period such as P1Y, or null where the document names no time.',
  parent: 'Name the rule set that says what this one leaves out, or null.',
}

function saidOf(issue: Issue, found: unknown): readonly [reason: string, remedy: string] {
  const field = String(issue.path.at(-1) ?? '')
  const oneOf = issue.code === 'invalid_value' ? `Write one of: ${issue.values.map(String).join(', ')}.` : null
  if (found === undefined) return ['is missing', wanted[field] ?? oneOf ?? 'State it.']
  if (oneOf) return [`${JSON.stringify(found)} is not known here`, oneOf]
  const { remedy } = (issue.code === 'custom' && issue.params) || {}
  return [issue.message, typeof remedy === 'string' ? remedy : `Correct it: found ${JSON.stringify(found)}.`]
}

const valueAt = (json: unknown, path: readonly PropertyKey[]): unknown =>
  path.reduce<unknown>(
    (value, step) =>
      typeof value === 'object' && value !== null ? (value as Record<PropertyKey, unknown>)[step] : undefined,
    json,
  )
