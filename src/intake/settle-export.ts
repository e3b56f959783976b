import { holdQueuedNotices } from '../features/reminders/notice-queries.ts'
import { refreshSearch } from '../features/search/refresh-search.ts'
import { setupSecret } from '../features/staff/add-staff.ts'
import { listStaff } from '../features/staff/queries.ts'
import { auditLine } from '../platform/db/audit-line.ts'
import type { Tx } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import { holdWaitingMails } from '../platform/mail/mail-queries.ts'
import { type ComparedStandings, compareStandings } from '../standing/compare-standings.ts'
import { giveBackCommitting } from './import-queries.ts'

export type Settled = {
  readonly standings: ComparedStandings
  readonly held: number
  /** Owners, each with the secret of a link by which they choose a password. */
  readonly owners: readonly { readonly email: string; readonly secret: string }[]
}

/**
 * What must hold of records that were read in as they left another installation: each standing is what its facts give,
 * nothing that waited there goes out from here as well, and an owner can get in. Reminders are paused, because the day
 * of their release is not part of an export.
 * @param takenAt the instant the records are of
 */
export async function settleExport(tx: Tx, act: Act, takenAt: number): Promise<Settled> {
  const standings = await compareStandings(tx, takenAt)
  if (standings.unequal.length > 0)
    throw new Error(
      `${standings.unequal.length} homes have another standing than the export says, the first ${standings.unequal[0]}. ` +
        'Nothing was kept: the export was not written by this program, or altered.',
    )
  await refreshSearch(tx)
  const held = await holdWaitingMails(tx)
  await holdQueuedNotices(tx)
  await giveBackCommitting(tx)
  const people = await listStaff(tx)
  const owners: { email: string; secret: string }[] = []
  for (const { id, email, roles, disabledAt } of people)
    if (roles.includes('owner') && disabledAt === null)
      owners.push({ email, secret: await setupSecret(tx, act.now, id) })
  await auditLine(tx, act, 'import', 'everything')
  return { standings, held, owners }
}
