import { insertLinks } from '../../platform/auth/link-queries.ts'
import type { Tx } from '../../platform/db/client.ts'
import { problem } from '../../platform/http/problem.ts'
import { isPlainAddress } from '../../platform/mail/message.ts'
import { queueMail } from '../../platform/mail/queue-mail.ts'
import { askToSend } from './ask-to-send.ts'
import { readLetterhead } from './company-queries.ts'
import { resultMail } from './result-mail.tsx'
import { isMailed, type ResultToTell, resultToTell, untoldResults } from './result-queries.ts'
import type { Sweeping } from './sweep.ts'

/** Why a result can not be mailed, in words for the office; null when it can. */
export function whyNotMailed(result: ResultToTell | null): string | null {
  if (!result) return 'There is no such test.'
  if (result.acceptedAt === null) return 'The result is not accepted yet: look it over first.'
  if (result.customerId === null) return 'No owner of the home is on record.'
  if (result.mailsStopped) return `${result.customerName} asked for no mails.`
  if (result.email === null || !isPlainAddress(result.email))
    return `No mail address of ${result.customerName} is known.`
  return result.addressRefused ? `The mail address of ${result.customerName} was refused.` : null
}

type By = { readonly now: number; readonly requestId: string }

/** Puts the result of an accepted test into a mail to today's owner. @throws 409 when nobody can be told. */
export async function mailResult(tx: Tx, sweeping: Sweeping, testId: string, by: By, mailId?: string): Promise<string> {
  const result = await resultToTell(tx, testId, by.now)
  const why = whyNotMailed(result)
  if (!result || why !== null) throw problem(409, 'can-not-mail', why ?? '')
  const customerId = result.customerId!
  const [linkId] = await insertLinks(tx, by.now, [{ propertyId: result.propertyId, customerId, purpose: 'result' }])
  const queued = await queueMail(
    tx,
    { ...by, held: sweeping.mail.held, from: sweeping.config.mailFrom },
    {
      ...(mailId === undefined ? {} : { id: mailId }),
      kind: 'result',
      toAddress: result.email!,
      toName: result.customerName,
      customerId,
      linkId: linkId!,
      ...resultMail(await readLetterhead(tx, by.now), result, linkId!, by.now),
    },
  )
  if (!sweeping.mail.held) await askToSend(tx, sweeping, by.requestId)
  return queued
}

/**
 * Tells owners what was accepted within the day, where the company wants it told at once. The mail takes the test's id
 * for its own, so that a result is told once however many processes try.
 */
export async function mailAcceptedResults(sweeping: Sweeping, requestId = ''): Promise<number> {
  const now = sweeping.clock.now()
  let told = 0
  for (const testId of await untoldResults(sweeping.db, now))
    told += await sweeping.db.transaction(async tx => {
      if (whyNotMailed(await resultToTell(tx, testId, now)) !== null || (await isMailed(tx, testId))) return 0
      await mailResult(tx, sweeping, testId, { now, requestId }, testId)
      return 1
    })
  return told
}
