import type { FastifyInstance } from 'fastify'
import { problem } from './problem.ts'

/** Reads a form. A name that comes several times is a list; values are as typed, only line ends are made one. */
export function readForms(app: FastifyInstance): void {
  app.addContentTypeParser(
    'application/x-www-form-urlencoded',
    { parseAs: 'buffer' },
    (_request, body: Buffer, done) => {
      try {
        done(null, fieldsOf(new TextDecoder('utf-8', { fatal: true }).decode(body)))
      } catch (error) {
        done(
          error instanceof TypeError
            ? problem(400, 'malformed-body', 'The form is not encoded in UTF-8.')
            : (error as Error),
        )
      }
    },
  )
}

const reserved = new Set(['__proto__', 'constructor', 'prototype'])

function fieldsOf(text: string): Record<string, unknown> {
  const fields: Record<string, unknown> = {}
  for (const [name, value] of new URLSearchParams(text)) {
    if (reserved.has(name)) throw problem(400, 'malformed-body', `A field can not be called ${name}.`)
    addField(fields, name, value.replaceAll('\r\n', '\n'))
  }
  return fields
}

/** Adds a value; the second under a name makes a list. */
export function addField(fields: Record<string, unknown>, name: string, value: unknown): void {
  const before = fields[name]
  if (before === undefined) fields[name] = value
  else if (Array.isArray(before)) before.push(value)
  else fields[name] = [before, value]
}
