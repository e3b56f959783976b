import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'

export type SignInViewProps = {
  csrf: string
  next: string
  email?: string
  faults?: readonly FieldFault[]
  /** A form that was sent after the session had ended, to be offered again. */
  kept?: string
}

/** Where the company's people sign in. */
export const SignInView = ({ csrf, next, email, faults, kept }: SignInViewProps): JSX.Element => (
  <article class="narrow">
    <h1>Sign in</h1>
    {kept ? <p class="message message-note">You were signed out. What you typed is kept: sign in to look at it and send it.</p> : ''}
    <Form action={paths.signIn()} submit="Sign in" busy="Signing in…" csrf={csrf} faults={faults}>
      <input type="hidden" name="next" value={next} />
      {kept ? <input type="hidden" name="kept" value={kept} /> : ''}
      <Field name="email" label="Mail address" type="email" autocomplete="username" value={email} faults={faults} />
      <Field name="password" label="Password" type="password" autocomplete="current-password" faults={faults} />
    </Form>
    <p>
      <a href={paths.forgotten()}>I forgot my password</a>
    </p>
  </article>
)

/** What a form held that was sent after the session had ended; one press sends it again, now signed in. */
export const KeptFormView = (props: {
  csrf: string
  action: string
  fields: readonly (readonly [string, string])[]
  visible: readonly (readonly [string, string])[]
}): JSX.Element => (
  <article class="narrow">
    <h1>Welcome back</h1>
    <p>You were signed out when you sent this, so it was not saved. Here is what you typed:</p>
    <dl class="pair">
      {props.visible.map(([name, value]) => (
        <div>
          <dt safe>{name}</dt>
          <dd safe>{value}</dd>
        </div>
      ))}
    </dl>
    <Form action={props.action} submit="Send it now" csrf={props.csrf} cancel={{ href: paths.ledger(), words: 'Leave it' }}>
      {props.fields.map(([name, value]) => (
        <input type="hidden" name={name} value={value} />
      ))}
    </Form>
  </article>
)
