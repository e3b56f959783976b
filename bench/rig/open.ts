import { pino } from 'pino'
import { publishRuleSets } from '../../seed/load-demo.ts'
import { type Database, openDatabase } from '../../src/platform/db/client.ts'
import { aCompany } from '../../tests/support/rows.ts'

/** Monday 2 March 2026, 09:00 in Duluth: inside the sending hours. */
export const now = Date.parse('2026-03-02T15:00:00Z')
export const act = { actor: { kind: 'operator', id: null }, now, requestId: 'bench' } as const
export const log = pino({ level: 'silent' })
export const open = (url: string, poolSize = 10): Database => openDatabase({ url, log, poolSize })

/** The company and the rule sets, as after a first start. */
export async function settled(db: Database, company: Readonly<Record<string, unknown>> = {}): Promise<void> {
  await aCompany(db.pool, company)
  await db.transaction(tx => publishRuleSets(tx, act))
}
