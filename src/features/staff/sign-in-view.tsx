import { attributeText } from '../../web/attribute-text.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import type { KeptForm } from './kept-form.ts'

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
    {kept ? (
      <p class="message message-note">
        You were signed out. What you typed is kept: sign in to look at it and send it.
      </p>
    ) : (
      ''
    )}
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

/** Names of hidden fields, which nobody typed. */
const unseen = (name: string) => name.startsWith('_') || name === 'version' || name.endsWith('Id')

/** What a form held that had to wait for a password; one press sends it again. */
export const KeptFormView = ({ csrf, form }: { csrf: string; form: KeptForm }): JSX.Element => (
  <article class="narrow">
    <h1>Send what you typed</h1>
    <p>This was not saved yet. Here is what you typed:</p>
    <dl class="pair">
      {form.fields
        .filter(([name]) => !unseen(name))
        .map(([name, value]) => (
          <div>
            <dt safe>{fieldWords(name)}</dt>
            <dd safe>{value}</dd>
          </div>
        ))}
    </dl>
    <Form action={form.action} submit="Send it now" csrf={csrf} cancel={{ href: paths.ledger(), words: 'Leave it' }}>
      {form.fields.map(([name, value]) => (
        <input type="hidden" name={attributeText(name)} value={attributeText(value)} />
      ))}
    </Form>
  </article>
)

/** `reportedBy` as `reported by`. */
const fieldWords = (name: string): string => name.replaceAll(/[._-]+|(?=[A-Z])/g, ' ').toLowerCase()
