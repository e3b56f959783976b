import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import { sendAgain } from '../../platform/mail/mail-queries.ts'
import { askToSend } from './ask-to-send.ts'
import { whyNotTold } from './mail-result.ts'
import { failedMails, readdressMail, resultToldBy } from './outbox-queries.ts'
import { resultToTell } from './result-queries.ts'
import type { Sweeping } from './sweep.ts'

/**
 * Sends a failed, held or dropped mail again, to the address that is known today. @throws 409 in any other state, and
 * where it tells a result to somebody who may not see it today.
 */
export async function resendMail(tx: Tx, act: Act, sweeping: Sweeping, mailId: string): Promise<void> {
  const why = await whyNotAgain(tx, act.now, mailId)
  if (why !== null) throw problem(409, 'can-not-mail', why)
  await readdressMail(tx, mailId)
  if (!(await sendAgain(tx, mailId, act.now)))
    throw problem(409, 'not-to-resend', 'This mail is on its way or was sent already.')
  await recordWrite(tx, act, { action: 'restore', noun: 'mail', id: mailId })
  await askToSend(tx, sweeping, act.requestId)
}

/** Why a mail may not go again; null when it may, or tells no result. */
async function whyNotAgain(tx: Tx, now: number, mailId: string): Promise<string | null> {
  const told = await resultToldBy(tx, mailId)
  if (!told) return null
  if (told.testId === null)
    return 'Which test this mail told of is not on record: send the result from the page of the test.'
  return whyNotTold(await resultToTell(tx, told.testId, now, told.customerId), now)
}

/** The same for every mail that failed and may go again; gives how many. */
export async function resendFailed(tx: Tx, act: Act, sweeping: Sweeping): Promise<number> {
  let sent = 0
  for (const id of await failedMails(tx)) {
    if ((await whyNotAgain(tx, act.now, id)) !== null) continue
    await resendMail(tx, act, sweeping, id)
    sent++
  }
  return sent
}
