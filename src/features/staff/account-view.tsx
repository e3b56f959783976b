import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { NewPasswordFields } from './password-views.tsx'
import type { Person } from './queries.ts'
import { roleWords } from './role-words.ts'
import type { Session } from './session-queries.ts'
import { SessionsView } from './sessions-view.tsx'

type Props = {
  person: Person
  sessions: readonly Session[]
  own: string
  zone: string
  csrf: string
  faults?: readonly FieldFault[]
}

/** One's own account: who one is here, the password, and where one is signed in. */
export const AccountView = ({ person, sessions, own, zone, csrf, faults }: Props): JSX.Element => (
  <article>
    <h1 safe>{person.name}</h1>
    <p>
      <span safe>{person.email}</span>, <span safe>{roleWords(person.roles)}</span>
    </p>
    <section>
      <h2>Change the password</h2>
      <p>It signs you out everywhere else.</p>
      <Form action={`${paths.account()}/password`} submit="Change the password" csrf={csrf} faults={faults}>
        <input type="hidden" name="username" autocomplete="username" value={person.email} />
        <Field
          name="present"
          label="Present password"
          type="password"
          autocomplete="current-password"
          faults={faults}
        />
        <NewPasswordFields faults={faults} />
      </Form>
    </section>
    <section>
      <h2>Where you are signed in</h2>
      <SessionsView sessions={sessions} zone={zone} csrf={csrf} own={own} endPath={`${paths.account()}/end-session`} />
    </section>
  </article>
)
