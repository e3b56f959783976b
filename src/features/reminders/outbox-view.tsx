import type { LocalDay } from '../../domain/facts.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { List } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { InstantText } from '../../web/when-text.tsx'
import { type MailLine, type MailState, mailStates } from './outbox-queries.ts'

export const stateWords: Record<MailState, string> = {
  waiting: 'Waiting',
  refused: 'Failed',
  held: 'Held: no mail server is set',
  sent: 'Sent',
  dropped: 'Not sent: no longer needed',
}

const emptyWords: Record<MailState, string> = {
  waiting: 'No mail waits to be sent. A mail stands here from when it is written until the mail server has it.',
  refused: 'No mail has failed. One that a mail server refuses stands here with the server’s own words.',
  held: 'No mail is held. Where no mail server is set, mails stay here to be read.',
  sent: 'No mail has been sent yet. Reminders, results and invitations stand here once a mail server took them.',
  dropped: 'No mail was left unsent. One whose reason went away before it was sent stands here.',
}

type Clock = { readonly zone: string; readonly today: LocalDay }
export type OutboxProps = Clock & {
  readonly state: MailState
  readonly mails: readonly MailLine[]
  readonly counts: Partial<Record<MailState, number>>
  readonly next: string | null
  readonly csrf: string
  readonly formKey: string
  /** Whether reminders go out by themselves. */
  readonly released: boolean
  readonly back?: TestMailBack
}
/** The form for a test mail as it came back. */
export type TestMailBack = { readonly to: string; readonly faults: readonly FieldFault[] }

/** The mails in one state, with what the server said of each in its own words. */
export function OutboxView(props: OutboxProps): JSX.Element {
  const { state, mails, counts, next, zone, today, released } = props
  return (
    <>
      <h1>Outbox</h1>
      <nav class="states" aria-label="Mails by state">
        <ul>
          {mailStates.map(one => (
            <li>
              <a href={paths.outbox({ state: one })} aria-current={one === state ? 'page' : undefined} safe>
                {`${stateWords[one]} (${counts[one] ?? 0})`}
              </a>
            </li>
          ))}
        </ul>
      </nav>
      <p>
        {released ? 'Reminders are released: they go out by themselves.' : 'Reminders are paused: none goes out.'}{' '}
        <a href={paths.outboxToday()}>What would go out today, and to whom</a>
      </p>
      <List
        title={stateWords[state]}
        order="newest first"
        count={counts[state] ?? 0}
        noun={['mail', 'mails']}
        items={mails.map(mail => <MailItem mail={mail} zone={zone} today={today} />)}
        empty={{ text: emptyWords[state] }}
        next={next}
      />
      {state === 'refused' && mails.length > 0 ? <ResendAll {...props} /> : ''}
      <TestMail {...props} />
    </>
  )
}

const MailItem = ({ mail, zone, today }: { mail: MailLine } & Clock): JSX.Element => (
  <p>
    <a href={paths.mail(mail.id)} safe>
      {mail.subject}
    </a>{' '}
    <span safe>{`to ${mail.toName || mail.toAddress}, `}</span>
    <InstantText at={mail.sentAt ?? mail.createdAt} zone={zone} today={today} />
    {mail.lastReply && mail.state !== 'sent' ? (
      <>
        <br />
        <q safe>{mail.lastReply}</q>
      </>
    ) : (
      ''
    )}
  </p>
)

const ResendAll = ({ csrf, formKey }: OutboxProps): JSX.Element => (
  <Form
    action={paths.mailStep('failed', 'resend')}
    submit="Send all failed mails again"
    csrf={csrf}
    idempotencyKey={formKey}
  >
    <p>Each is checked first: what has been done or stopped in the meantime is not sent.</p>
  </Form>
)

const TestMail = ({ csrf, formKey, back }: OutboxProps): JSX.Element => (
  <details open={back !== undefined}>
    <summary>Send a test mail</summary>
    <Form
      action={paths.mailTest()}
      submit="Send it now"
      busy="Talking to the mail server…"
      csrf={csrf}
      idempotencyKey={`${formKey}-test`}
      faults={back?.faults}
    >
      <Field name="to" label="To" type="email" autocomplete="email" value={back?.to} faults={back?.faults} />
    </Form>
  </details>
)
