import { localDayOf } from '../../domain/calendar/local-day.ts'
import { receiversOf } from '../../domain/work-parties/result-receivers.ts'
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

const receiversToday = ({ parties, ownerId, zone }: ResultToTell, now: number) =>
  receiversOf(parties, ownerId, localDayOf(now, zone)).customerIds

/** Why a result may not be told to somebody, in words for the office; null when it may. */
export function whyNotTold(result: ResultToTell | null, now: number): string | null {
  if (!result) return 'There is no such test.'
  if (result.acceptedAt === null) return 'The result is not accepted yet: look it over first.'
  if (result.customerId === null) return 'No owner of the home is on record.'
  return receiversToday(result, now).includes(result.customerId)
    ? null
    : `${result.customerName} may not see this result: the test says who may, and until when.`
}

/** Why a result can not be mailed, in words for the office; null when it can. */
export function whyNotMailed(result: ResultToTell | null, now: number): string | null {
  const why = whyNotTold(result, now)
  if (why !== null || !result) return why
  if (result.mailsStopped) return `${result.customerName} asked for no mails.`
  if (result.email === null || !isPlainAddress(result.email))
    return `No mail address of ${result.customerName} is known.`
  return result.addressRefused ? `The mail address of ${result.customerName} was refused.` : null
}

type By = { readonly now: number; readonly requestId: string }

type Telling = {
  /** Somebody who may see the result; today's owner when left out. */
  readonly to?: string | null
  readonly mailId?: string
}

/**
 * Puts the result of an accepted test into a mail to somebody who may see it. The owner's carries the way to the page of
 * the home, which shows more than this result; nobody else's does. @throws 409 when that person can not be told.
 */
export async function mailResult(
  tx: Tx,
  sweeping: Sweeping,
  testId: string,
  by: By,
  { to = null, mailId }: Telling = {},
): Promise<string> {
  const result = await resultToTell(tx, testId, by.now, to)
  const why = whyNotMailed(result, by.now)
  if (!result || why !== null) throw problem(409, 'can-not-mail', why ?? '')
  const customerId = result.customerId!
  const link = { propertyId: result.propertyId, customerId, purpose: 'result' }
  const [linkId = null] = customerId === result.ownerId ? await insertLinks(tx, by.now, [link]) : []
  const queued = await queueMail(
    tx,
    { ...by, held: sweeping.mail.held, from: sweeping.config.mailFrom },
    {
      ...(mailId === undefined ? {} : { id: mailId }),
      kind: 'result',
      toAddress: result.email!,
      toName: result.customerName,
      customerId,
      linkId,
      aboutId: testId,
      ...resultMail(await readLetterhead(tx, by.now), result, linkId, by.now),
    },
  )
  if (!sweeping.mail.held) await askToSend(tx, sweeping, by.requestId)
  return queued
}

/**
 * Tells owners who may see it what was accepted within the day, where the company wants it told at once. The mail takes the test's id
 * for its own, so that a result is told once however many processes try.
 */
export async function mailAcceptedResults(sweeping: Sweeping, requestId = ''): Promise<number> {
  const now = sweeping.clock.now()
  let told = 0
  for (const testId of await untoldResults(sweeping.db, now))
    told += await sweeping.db.transaction(async tx => {
      if (whyNotMailed(await resultToTell(tx, testId, now), now) !== null || (await isMailed(tx, testId))) return 0
      await mailResult(tx, sweeping, testId, { now, requestId }, { mailId: testId })
      return 1
    })
  return told
}
