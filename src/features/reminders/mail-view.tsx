import type { LocalDay } from '../../domain/facts.ts'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { InstantText } from '../../web/when-text.tsx'
import { fillPages } from './letter.tsx'
import type { KeptMailView } from './outbox-queries.ts'
import { stateWords } from './outbox-view.tsx'

/** A body with its blanks filled for the office: links lead to the preview of the home's page. */
export const shownBody = (mail: KeptMailView, body: string): string =>
  fillPages(body, linkId => (mail.links[linkId] ? paths.homeLink(mail.links[linkId]) : '#')).replaceAll('[[link]]', '#')

type MailProps = {
  readonly mail: KeptMailView
  readonly zone: string
  readonly today: LocalDay
  readonly csrf: string
  readonly formKey: string
}

/** One mail as its reader gets it, text and HTML, with what became of it. */
export function MailView({ mail, zone, today, csrf, formKey }: MailProps): JSX.Element {
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
          <p>It is checked first: what has been done or stopped in the meantime is not sent.</p>
        </Form>
      ) : (
        ''
      )}
      <h2>As HTML</h2>
      <iframe
        class="mail-body"
        title="The mail as HTML"
        src={paths.mailStep(mail.id, 'html')}
        sandbox=""
        height="640"
      ></iframe>
      <h2>As text</h2>
      <pre class="mail-text" safe>
        {shownBody(mail, mail.textBody)}
      </pre>
    </>
  )
}
