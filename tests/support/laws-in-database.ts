import { publishPolicy } from '../../src/features/policies/publish-policy.ts'
import type { Database } from '../../src/platform/db/client.ts'
import type { Act } from '../../src/platform/db/record-write.ts'
import { seededPolicies } from './homes.ts'

/** Publishes the rule sets that the service ships. */
export async function withShippedPolicies(db: Database, act: Act): Promise<void> {
  await db.transaction(async tx => {
    for (const version of seededPolicies) await publishPolicy(tx, act, version)
  })
}
