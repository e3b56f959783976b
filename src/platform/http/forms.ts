import type { FastifyReply } from 'fastify'
import type { z } from 'zod'
import { newId } from '../ids.ts'
import { Problem } from './problem.ts'

export type FieldProblem = { readonly field: string; readonly message: string }
export type Typed = Readonly<Record<string, unknown>>
export type FormRead<T> =
  | { readonly ok: true; readonly data: T }
  | { readonly ok: false; readonly problems: readonly FieldProblem[]; readonly typed: Typed }

/** Sends a page; the document brings its own doctype. */
export const page = async (reply: FastifyReply, html: string | Promise<string>): Promise<FastifyReply> =>
  reply.type('text/html; charset=utf-8').send(await html)

/** A fresh key for the hidden `_key` of a form that creates. */
export const formKey = newId

/** Reads a form: an empty field says nothing; every fault is listed by field, and what was typed is kept. */
export function readForm<S extends z.ZodType>(schema: S, body: unknown): FormRead<z.output<S>> {
  const typed = (body ?? {}) as Typed
  const said = Object.fromEntries(
    Object.entries(typed).filter(([name, value]) => name !== '_csrf' && name !== '_key' && value !== ''),
  )
  const read = schema.safeParse(said)
  if (read.success) return { ok: true, data: read.data }
  const problems = read.error.issues.map(issue => ({ field: issue.path.join('.'), message: sayIssue(issue) }))
  return { ok: false, problems, typed }
}

const sayIssue = (issue: { code?: string; message: string; input?: unknown }) =>
  /received undefined/.test(issue.message) ? 'is needed: fill it in' : issue.message

/** Runs a write and gives its field faults (422) back for the form; every other problem goes on its way. */
export async function withFieldProblems<T>(
  work: () => Promise<T>,
): Promise<{ ok: true; value: T } | { ok: false; problems: FieldProblem[] }> {
  try {
    return { ok: true, value: await work() }
  } catch (error) {
    if (!(error instanceof Problem) || error.status !== 422) throw error
    const problems = error.errors.map(fault => ({
      field: fault.pointer.replace(/^#?\//, '').replaceAll('/', '.'),
      message: fault.detail,
    }))
    return { ok: false, problems: problems.length ? problems : [{ field: '', message: error.message }] }
  }
}
