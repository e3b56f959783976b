import { publishPolicy } from '../../src/features/policies/publish-policy.ts'
import type { Database } from '../../src/platform/db/client.ts'
import type { Act } from '../../src/platform/db/record-write.ts'
import { shippedPolicies } from './laws.ts'

/** Publishes the rule sets that the service ships. */
export async function withShippedPolicies(db: Database, act: Act): Promise<void> {
  const versions = [...shippedPolicies().byCode.values()].flat()
  await db.transaction(async tx => {
    for (const version of versions) await publishPolicy(tx, act, version)
  })
}
