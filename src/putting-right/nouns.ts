import { exposureParts } from './parts/exposure.ts'
import { importParts } from './parts/import.ts'
import { testParts } from './parts/test.ts'
import { testLocationParts } from './parts/test-location.ts'
import type { Nouns } from './record-parts.ts'

/** Every noun of which corrections change fields, under the name that the audit log gives it. */
export const nouns: Nouns = {
  exposure: exposureParts,
  import: importParts,
  test: testParts,
  test_location: testLocationParts,
}
