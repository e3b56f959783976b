import type { FieldFault } from '../../web/error-summary.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { PersonFields, type PersonTyped } from './people-views.tsx'
import type { Person } from './queries.ts'
import type { Session } from './session-queries.ts'
import { SessionsView } from './sessions-view.tsx'

type Props = {
  person: Person
  typed?: PersonTyped
  sessions: readonly Session[]
  own: string
  zone: string
  csrf: string
  faults?: readonly FieldFault[]
}

/** One person of the company as the owner sees them. */
export const PersonView = (props: Props): JSX.Element => {
  const { person, sessions, own, zone, csrf, faults } = props
  return (
    <article>
      <h1 safe>{person.name}</h1>
      <p>
        <span safe>{person.email}</span>
        {person.disabledAt === null ? '' : ', no longer signs in'}
      </p>
      <Form action={paths.staffMember(person.id)} submit="Save" csrf={csrf} version={person.version} faults={faults}>
        <PersonFields typed={props.typed ?? typedOf(person)} faults={faults} withMail={false} />
      </Form>
      <p>
        <a href={paths.credentials()}>Licences and certificates</a> stand on a page of their own, with their expiry.
      </p>
      {person.disabledAt === null ? <Access {...props} /> : <ComeBack person={person} csrf={csrf} />}
      {sessions.length > 0 ? (
        <section>
          <h2>Where they are signed in</h2>
          <SessionsView
            sessions={sessions}
            zone={zone}
            csrf={csrf}
            own={own}
            endPath={paths.staffStep(person.id, 'end-session')}
          />
        </section>
      ) : (
        ''
      )}
    </article>
  )
}

export const typedOf = (person: Person): PersonTyped => ({
  name: person.name,
  phone: person.phone,
  roles: person.roles,
})

const Access = ({ person, csrf }: Props): JSX.Element => (
  <section>
    <h2>Access</h2>
    <p>
      {person.hasPassword
        ? 'Forgot the password? A link to set a new one goes by mail from the sign-in page, or from here.'
        : 'They have not set a password yet. The invitation can be sent again.'}
    </p>
    <Form
      action={paths.staffStep(person.id, 'link')}
      submit={person.hasPassword ? 'Send a link to a new password' : 'Invite again'}
      csrf={csrf}
    />
    <p>Taking access away signs them out everywhere at once. What they recorded stays under their name.</p>
    <Form
      action={paths.staffStep(person.id, 'disable')}
      submit="Take access away"
      csrf={csrf}
      version={person.version}
      grave
    />
  </section>
)

const ComeBack = ({ person, csrf }: { person: Person; csrf: string }): JSX.Element => (
  <section>
    <h2>Access</h2>
    <Form
      action={paths.staffStep(person.id, 'enable')}
      submit="Give access again"
      csrf={csrf}
      version={person.version}
    />
  </section>
)

/** A link shown once to whoever may hand it over. */
export const HandOverView = ({ name, link, until }: { name: string; link: string; until: string }): JSX.Element => (
  <article class="narrow">
    <h1>Hand this link over</h1>
    <p>
      No mail server is set up, so nothing was sent. Give this to <strong safe>{name}</strong> yourself, and to nobody
      else: whoever opens it sets the password. It opens once, until <span safe>{until}</span>, and is not shown again.
    </p>
    <p>
      <code class="shown-once" safe>
        {link}
      </code>
    </p>
    <p>
      <a href={paths.staff()}>To the people of the company</a>
    </p>
  </article>
)
