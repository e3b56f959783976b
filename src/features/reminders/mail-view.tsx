import type { LocalDay } from '../../domain/facts.ts'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { InstantText } from '../../web/when-text.tsx'
import { fillPages } from './letter.tsx'
import type { KeptMailView } from './outbox-queries.ts'
import { stateWords } from './outbox-view.tsx'

/** Gives the address that is mailed for a link; null where a mail server carries it, and nobody else may see it. */
export type ShownAddress = ((linkId: string) => string) | null

/** A body with its blanks filled for the office: links lead to the preview of the home's page. */
export const shownBody = (mail: KeptMailView, body: string, mailed: ShownAddress): string =>
  fillPages(body, linkId => {
    const home = mail.links[linkId]
    return home === undefined ? '#' : (mailed?.(linkId) ?? paths.homeLink(home))
  }).replaceAll('[[link]]', '#')

/** The HTML for its box on the office's page, where a link opens in a window of its own. */
export const boxedBody = (mail: KeptMailView, mailed: ShownAddress): string =>
  shownBody(mail, mail.htmlBody, mailed).replace('<head>', '<head><base target="_blank">')

/** What the box of a mail may do: open a link elsewhere, and nothing more. */
export const boxMay = 'allow-popups allow-popups-to-escape-sandbox'

type MailProps = {
  readonly mail: KeptMailView
  readonly zone: string
  readonly today: LocalDay
  readonly csrf: string
  readonly formKey: string
  readonly mailed: ShownAddress
}

/** One mail as its reader gets it, text and HTML, with what became of it. */
export function MailView({ mail, zone, today, csrf, formKey, mailed }: MailProps): JSX.Element {
  return (
    <>
      <h1 safe>{mail.subject}</h1>
      <dl class="pair">
        <div>
          <dt>To</dt>
          <dd safe>{`${mail.toName} <${mail.toAddress}>`}</dd>
        </div>
        <div>
          <dt>State</dt>
          <dd safe>{stateWords[mail.state]}</dd>
        </div>
        <div>
          <dt>Written</dt>
          <dd>
            <InstantText at={mail.createdAt} zone={zone} today={today} />
          </dd>
        </div>
        {mail.nextAttemptAt === null ? (
          ''
        ) : (
          <div>
            <dt>Next try</dt>
            <dd>
              <InstantText at={mail.nextAttemptAt} zone={zone} today={today} />
            </dd>
          </div>
        )}
        {mail.lastReply ? (
          <div>
            <dt>The server said</dt>
            <dd safe>{mail.lastReply}</dd>
          </div>
        ) : (
          ''
        )}
      </dl>
      {['refused', 'held', 'dropped'].includes(mail.state) ? (
        <Form action={paths.mailStep(mail.id, 'resend')} submit="Send it again" csrf={csrf} idempotencyKey={formKey}>
          <p>
            It is checked first: what has been done or stopped in the meantime is not sent. It goes to the address that
            is known then.
          </p>
          {mail.state === 'refused' && mail.customerId !== null ? (
            <p>
              <a href={paths.changePerson(mail.customerId)} safe>
                {`Correct the address of ${mail.toName || mail.toAddress} first`}
              </a>
            </p>
          ) : (
            ''
          )}
        </Form>
      ) : (
        ''
      )}
      {mailed === null ? (
        ''
      ) : (
        <p>No mail server is set. To act as its reader, open the mail’s address in a private window, not signed in.</p>
      )}
      <h2>As HTML</h2>
      <iframe
        class="mail-body"
        title="The mail as HTML"
        src={paths.mailStep(mail.id, 'html')}
        sandbox={boxMay}
        height="640"
      ></iframe>
      <h2>As text</h2>
      <pre class="mail-text" safe>
        {shownBody(mail, mail.textBody, mailed)}
      </pre>
    </>
  )
}
