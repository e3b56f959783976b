import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { shortestPassword } from './password-faults.ts'

type Faulty = { csrf: string; faults?: readonly FieldFault[] }

const hint = `At least ${shortestPassword} characters; 15 are better. Several words that have nothing to do with each other are easy to keep. Paste from a password manager as you like.`

/** The new password, typed twice. */
export const NewPasswordFields = ({ faults }: { faults?: readonly FieldFault[] }): JSX.Element => (
  <>
    <Field
      name="password"
      label="New password"
      type="password"
      autocomplete="new-password"
      hint={hint}
      faults={faults}
    />
    <Field name="again" label="The same again" type="password" autocomplete="new-password" faults={faults} />
  </>
)

type ForgottenProps = Faulty & { email?: string; mails: boolean }

export const ForgottenView = ({ csrf, faults, email, mails }: ForgottenProps): JSX.Element => (
  <article class="narrow">
    <h1>Set a new password</h1>
    {mails ? (
      <>
        <p>Write the mail address you sign in with. You get a mail with a link that opens for one hour.</p>
        <Form action={paths.forgotten()} submit="Send me the link" busy="Sending…" csrf={csrf} faults={faults}>
          <Field name="email" label="Mail address" type="email" autocomplete="username" value={email} faults={faults} />
        </Form>
      </>
    ) : (
      <p>No mail server is set up, so no link can be sent. The owner of your company can show you one to use.</p>
    )}
    <p>
      <a href={paths.signIn()}>Back to sign-in</a>
    </p>
  </article>
)

export const ForgottenSentView = ({ email }: { email: string }): JSX.Element => (
  <article class="narrow">
    <h1>Look into your mail</h1>
    <p>
      If <strong safe>{email}</strong> belongs to somebody of the company, a link is on its way there. It opens for one
      hour. Nothing came? Look into the spam folder, or ask the owner.
    </p>
    <p>
      <a href={paths.signIn()}>Back to sign-in</a>
    </p>
  </article>
)

export const SetPasswordView = (
  props: Faulty & { secret: string; name: string; email: string; first: boolean },
): JSX.Element => (
  <article class="narrow">
    <h1 safe>{props.first ? `Welcome, ${props.name}` : 'Set a new password'}</h1>
    <p>
      You will sign in with <strong safe>{props.email}</strong> and this password.
    </p>
    <Form action={paths.setPassword(props.secret)} submit="Set the password" csrf={props.csrf} faults={props.faults}>
      <input type="hidden" name="username" autocomplete="username" value={props.email} />
      <NewPasswordFields faults={props.faults} />
    </Form>
  </article>
)

export const SpentLinkView = (): JSX.Element => (
  <article class="narrow">
    <h1>This link does not open any more</h1>
    <p>It was used, it has expired, or it was cut off in the mail.</p>
    <p>
      <a href={paths.forgotten()}>Ask for a new one</a>
    </p>
  </article>
)

export const ConfirmView = ({ csrf, faults, next, kept }: Faulty & { next: string; kept: string }): JSX.Element => (
  <article class="narrow">
    <h1>Is it still you?</h1>
    <p>
      People, rules and apps decide who sees what, so your password is asked again. It then counts for a quarter of an
      hour.
    </p>
    <Form action={paths.confirm()} submit="Go on" csrf={csrf} faults={faults}>
      <input type="hidden" name="next" value={next} />
      <input type="hidden" name="kept" value={kept} />
      <Field
        name="password"
        label="Password"
        type="password"
        autocomplete="current-password"
        faults={faults}
        autofocus
      />
    </Form>
  </article>
)
