import { publishPolicies } from '../../src/features/policies/publish-policy.ts'
import type { Database } from '../../src/platform/db/client.ts'
import type { Act } from '../../src/platform/db/record-write.ts'
import { seededPolicies } from './homes.ts'

/** Publishes the rule sets that the service ships. */
export async function withShippedPolicies(db: Database, act: Act): Promise<void> {
  await db.transaction(tx => publishPolicies(tx, act, seededPolicies))
}
