import { appendFileSync } from 'node:fs'
import { join } from 'node:path'
import type { FastifyInstance } from 'fastify'
import { afterAll, expect } from 'vitest'
import { problemKinds } from '../../src/platform/http/problem-kinds.ts'
import { featureProblems } from '../../src/problems.ts'
import { type Answer, watchAnswers } from './answers.ts'
import { type ApiDocument, answerChecker } from './api-document.ts'
import { testFolder } from './postgres.ts'

/** Where this test process notes which documented answers it has seen; the parent process is the run's. */
const seenFile = join(testFolder, `seen-${process.ppid}-${process.pid}.jsonl`)

const faults = new Set<string>()

const known = new Set([...Object.keys(problemKinds), ...Object.keys(featureProblems)])
/** The code of a problem that has no page of its own. */
function unknownProblem({ headers, body }: Answer): string | null {
  if (!body || !String(headers['content-type']).startsWith('application/problem+json')) return null
  const code = String(JSON.parse(body).type).split('/').at(-1)!
  return known.has(code) ? null : code
}

/** Holds every answer of the app against its own API document and the list of problems; the test file fails when one does not fit (B17). */
export function holdAnswers(app: FastifyInstance): void {
  let check: ReturnType<typeof answerChecker> | undefined
  const noted = new Set<string>()
  watchAnswers(app.server, answer => {
    check ??= answerChecker(app.swagger() as unknown as ApiDocument)
    const { seen, fault } = check(answer)
    const unknown = unknownProblem(answer)
    if (unknown) faults.add(`${answer.method} ${answer.path}: /problems/${unknown} is not listed`)
    if (fault) faults.add(`${answer.method} ${answer.path}: ${fault}`)
    if (!seen) return
    const line = JSON.stringify(seen)
    if (noted.has(line)) return
    noted.add(line)
    appendFileSync(seenFile, `${line}\n`)
  })
}

afterAll(() => {
  expect([...faults], 'answers that do not fit the API document').toEqual([])
})
