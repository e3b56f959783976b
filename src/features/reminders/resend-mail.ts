import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import { sendAgain } from '../../platform/mail/mail-queries.ts'
import { askToSend } from './ask-to-send.ts'
import { failedMails, readdressMail } from './outbox-queries.ts'
import type { Sweeping } from './sweep.ts'

/** Sends a failed, held or dropped mail again, to the address that is known today. @throws 409 in any other state. */
export async function resendMail(tx: Tx, act: Act, sweeping: Sweeping, mailId: string): Promise<void> {
  await readdressMail(tx, mailId)
  if (!(await sendAgain(tx, mailId, act.now)))
    throw problem(409, 'not-to-resend', 'This mail is on its way or was sent already.')
  await recordWrite(tx, act, { action: 'restore', noun: 'mail', id: mailId })
  await askToSend(tx, sweeping, act.requestId)
}

/** The same for every mail that failed; gives how many. */
export async function resendFailed(tx: Tx, act: Act, sweeping: Sweeping): Promise<number> {
  const ids = await failedMails(tx)
  for (const id of ids) await resendMail(tx, act, sweeping, id)
  return ids.length
}
