import type { SendMailOptions } from 'nodemailer'

/** A mail as it is kept: its bodies hold `linkBlank` where the address of the person's page goes. */
export type KeptMail = {
  readonly id: string
  readonly kind: string
  readonly toAddress: string
  readonly toName: string
  readonly customerId: string | null
  readonly staffId: string | null
  readonly linkId: string | null
  readonly subject: string
  readonly textBody: string
  readonly htmlBody: string
  readonly messageId: string
  readonly attempts: number
  readonly requestId: string | null
}

/** Stands in a kept body for an address that lets in whoever has it. */
export const linkBlank = '[[link]]'

/** The secret addresses of one mail, made anew at each sending. */
export type MailLinks = { readonly page: string | null; readonly unsubscribe: string | null }
export type Sender = { readonly from: string; readonly replyTo: string | null }

const oneLine = (text: string) => text.replace(/[\r\n\u0000\u2028\u2029]+/g, ' ').trim()
/** An address that can not smuggle a second one or a header. */
export const isPlainAddress = (address: string): boolean => /^[^\s@<>"(),;:\\]+@[^\s@<>"(),;:\\]+$/.test(address)

/**
 * The message as it goes out: text and HTML, one recipient, the Message-ID it was given when it was queued, marked as
 * sent by a program (RFC 3834) and, where it can be stopped, with one-click unsubscribing (RFC 8058).
 */
export function composeMail(mail: KeptMail, links: MailLinks, sender: Sender): SendMailOptions {
  const fill = (body: string) => body.replaceAll(linkBlank, links.page ?? '')
  return {
    from: oneLine(sender.from),
    ...(sender.replyTo && isPlainAddress(sender.replyTo) && { replyTo: sender.replyTo }),
    to: { name: oneLine(mail.toName), address: mail.toAddress },
    subject: oneLine(mail.subject),
    text: fill(mail.textBody),
    html: fill(mail.htmlBody),
    messageId: mail.messageId,
    headers: {
      'Auto-Submitted': 'auto-generated',
      ...(links.unsubscribe && { 'List-Unsubscribe-Post': 'List-Unsubscribe=One-Click' }),
    },
    ...(links.unsubscribe && { list: { unsubscribe: [{ url: links.unsubscribe, comment: '' }] } }),
    disableFileAccess: true,
    disableUrlAccess: true,
  }
}
