import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { type ApiDocument, documentedPairs, type Seen } from '../support/api-document.ts'
import { testFolder } from '../support/postgres.ts'
import { long } from '../support/scale.ts'

// B17, the other half: every answer is held against the document as it comes (answer-ledger.ts); here, after all other
// tests, every documented answer must have come from some test.

const document = JSON.parse(
  readFileSync(join(import.meta.dirname, '../../openapi/openapi.json'), 'utf8'),
) as ApiDocument

/** Met at full size only: a body with files has two minutes to arrive before it is 408. */
const neverMet = new Set(long ? [] : ['keepPhoto 408', 'startImport 408'])

const pairOf = ({ operation, status }: Seen) => `${operation} ${status}`

function seenPairs(): Set<string> {
  const lines = readdirSync(testFolder)
    .filter(name => name.startsWith(`seen-${process.ppid}-`))
    .flatMap(name => readFileSync(join(testFolder, name), 'utf8').trim().split('\n'))
  return new Set(lines.filter(Boolean).map(line => pairOf(JSON.parse(line))))
}

it.skipIf(!process.env.UNDERSLAB_WHOLE)('B17: every documented answer of every operation is given by some test', () => {
  const seen = seenPairs()
  const never = documentedPairs(document).filter(pair => !neverMet.has(pairOf(pair)) && !seen.has(pairOf(pair)))
  expect(never.map(pairOf).sort()).toEqual([])
})

it.skipIf(!process.env.UNDERSLAB_WHOLE)('B17: the list of what can not be met names nothing that was met', () => {
  const seen = seenPairs()
  expect([...neverMet].filter(pair => seen.has(pair))).toEqual([])
})
