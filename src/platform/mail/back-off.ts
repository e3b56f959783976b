import { createHash } from 'node:crypto'

const minute = 60_000
const waits = [1, 5, 15, 60, 120, 240, 480, 720, 1440, 1440].map(minutes => minutes * minute)

/** No mail is put off for longer. */
export const longestWait = 1.2 * Math.max(...waits)

/** While the server itself is away or refuses us, it is asked again this often; that wears no mail out. */
export const serverPause = 5 * minute

/**
 * When to try a mail again after so many attempts, or null when it has been tried long enough. Spread by up to a fifth,
 * always the same for one mail and attempt, so that many do not come back at once.
 */
export function nextAttemptAt(mailId: string, attempts: number, now: number): number | null {
  const wait = waits[attempts - 1]
  if (wait === undefined) return null
  const spread = createHash('sha256').update(`${mailId} ${attempts}`).digest().readUInt16BE() / 65_535
  return now + Math.round(wait * (1 + spread / 5))
}

/** Longer than any dialogue may take; a mail whose sender died is taken up again after it. */
export const leaseFor = 3 * minute
/** A dialogue is given up after this. */
export const dialogueLimit = 2 * minute
