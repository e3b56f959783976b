import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { importToChange } from '../import-queries.ts'
import { releaseHeld } from './made-queries.ts'
import { refuseUnlessOfEverybody } from './refuse-unsettled.ts'

/** The office has looked: reminders of the homes an import wrote to go out like all others. Gives of how many homes. */
export async function releaseHomes(tx: Tx, act: Act, importId: string): Promise<number> {
  const batch = await importToChange(tx, act, importId, null)
  // Any other import holds nothing back.
  if (batch.kind !== 'homes-table') return 0
  refuseUnlessOfEverybody(act)
  const homes = await releaseHeld(tx, importId)
  if (homes > 0)
    await recordWrite(tx, act, {
      action: 'correct',
      noun: 'import',
      id: importId,
      version: batch.version,
      fields: ['reminders'],
    })
  return homes
}
