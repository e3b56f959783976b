import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { type ApiDocument, documentedPairs, type Seen } from '../support/api-document.ts'
import { testFolder } from '../support/postgres.ts'

// B17, the other half: every answer is held against the document as it comes (answer-ledger.ts); here, after all other
// tests, every documented answer must have come from some test.

const document = JSON.parse(
  readFileSync(join(import.meta.dirname, '../../openapi/openapi.json'), 'utf8'),
) as ApiDocument

/** Answers that a route gives as the platform gives them everywhere; each is produced on some routes, not on all. */
const sharedByAll = new Set([408, 409, 429, 500, 503])

/** Documented because all operations of their kind are described alike; these can not meet the refusal. */
const neverMet = new Set([
  ...['acceptTestResult', 'removeSavedReading', 'undoImport'].flatMap(name => [`${name} 413`, `${name} 422`]),
  ...['issueToken', 'revokeToken'].flatMap(name => [`${name} 413`, `${name} 415`]),
  ...['createCustomer', 'createProperty', 'recordDevice'].map(name => `${name} 404`),
  ...['listNotes', 'listPolicies', 'readPropertyHistory', 'searchHomes'].map(name => `${name} 422`),
  ...['readPhoto', 'readThumbnail', 'searchHomes', 'listChanges', 'listSavedReadings'].map(name => `${name} 304`),
  ...['400', '412', '428'].map(status => `removeSavedReading ${status}`),
  'revokeToken 403',
  'undoImport 412',
])

const pairOf = ({ operation, status }: Seen) => `${operation} ${status}`

function seenPairs(): Set<string> {
  const lines = readdirSync(testFolder)
    .filter(name => name.startsWith(`seen-${process.ppid}-`))
    .flatMap(name => readFileSync(join(testFolder, name), 'utf8').trim().split('\n'))
  return new Set(lines.filter(Boolean).map(line => pairOf(JSON.parse(line))))
}

it.skipIf(!process.env.UNDERSLAB_WHOLE)('B17: every documented answer of every operation is given by some test', () => {
  const seen = seenPairs()
  const never = documentedPairs(document).filter(
    pair => !sharedByAll.has(pair.status) && !neverMet.has(pairOf(pair)) && !seen.has(pairOf(pair)),
  )
  expect(never.map(pairOf).sort()).toEqual([])
})

it.skipIf(!process.env.UNDERSLAB_WHOLE)('B17: the list of what can not be met names nothing that was met', () => {
  const seen = seenPairs()
  expect([...neverMet].filter(pair => seen.has(pair))).toEqual([])
})
