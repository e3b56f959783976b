import type { z } from 'zod'
import { presentStanding } from '../../standing/present-standing.ts'
import type { Restood } from '../../standing/restand.ts'
import { presentTest } from './present.ts'
import type { TestRow } from './rows.ts'
import type { testWithStanding } from './schemas.ts'

/** What a write answers: the test as it is now, and the home's standing that follows. */
export const presentTestWithStanding = (test: TestRow, restood: Restood): z.output<typeof testWithStanding> => ({
  test: presentTest(test),
  standing: presentStanding({ standing: restood.standing, version: restood.version, stale: false }),
})
