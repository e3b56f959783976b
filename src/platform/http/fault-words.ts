import type { z } from 'zod'

type Issue = z.core.$ZodRawIssue

/** What is found where something else is allowed, in words for whoever has to correct it. */
export function faultWords(issue: Issue): string | undefined {
  switch (issue.code) {
    case 'invalid_type':
      return issue.input === undefined
        ? `is missing: give ${named(issue.expected)}`
        : `is ${kindOf(issue.input)}: give ${named(issue.expected)}`
    case 'invalid_value':
      return `is ${shown(issue.input)}: allowed ${issue.values.length > 1 ? 'are' : 'is'} ${issue.values.map(shown).join(', ')}`
    case 'too_small':
      return `is too ${issue.origin === 'string' || issue.origin === 'array' ? 'short' : 'small'}: at least ${issue.minimum}`
    case 'too_big':
      return `is too ${issue.origin === 'string' || issue.origin === 'array' ? 'long' : 'big'}: at most ${issue.maximum}`
    case 'invalid_format':
      return `is ${shown(issue.input)}: give a well-formed ${issue.format}`
    case 'unrecognized_keys':
      return 'is no field of this'
    default:
      return undefined
  }
}

/** A value as a person would quote it, cut to 60 characters. */
export function shown(value: unknown): string {
  const text = typeof value === 'bigint' ? String(value) : (JSON.stringify(value) ?? String(value))
  return text.length > 60 ? `${text.slice(0, 57)}…` : text
}

const kindOf = (value: unknown): string =>
  value === null ? 'null' : Array.isArray(value) ? 'a list' : typeof value === 'object' ? 'an object' : shown(value)

const named = (expected: string): string =>
  ({ array: 'a list', object: 'an object', int: 'a whole number', boolean: 'true or false' })[expected] ??
  `a ${expected}`
