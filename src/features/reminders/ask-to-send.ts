import type { Tx } from '../../platform/db/client.ts'
import type { Deps } from '../../platform/deps.ts'

/** Wakes the sending, in the transaction that queues a mail; many askers are one job. Last in it: it may wait for others. */
export const askToSend = (tx: Tx, { jobs }: Pick<Deps, 'jobs'>, requestId: string): Promise<void> =>
  jobs.enqueue(tx, 'send-mails', {}, { key: 'send-mails', requestId })
