import { CheckField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { Table, Text } from '../../web/table.tsx'
import { InstantText } from '../../web/when-text.tsx'
import type { Person } from './queries.ts'
import { roleChoices, roleWords } from './role-words.ts'

type Listed = Person & { seenAt: number | null }

/** Everyone who signs in, for the owner. */
export const PeopleView = ({ people, zone }: { people: readonly Listed[]; zone: string }): JSX.Element => (
  <article>
    <h1>People of the company</h1>
    <p class="actions">
      <a class="button" href={paths.inviteStaff()}>
        Invite somebody
      </a>
    </p>
    <Table
      caption={`${people.length} ${people.length === 1 ? 'person' : 'people'}, by name`}
      columns={[{ words: 'Name' }, { words: 'Mail address' }, { words: 'Roles' }, { words: 'Last here' }]}
      rows={people.map(person => [
        <a href={paths.staffMember(person.id)} safe>
          {person.name}
        </a>,
        <Text of={person.email} />,
        <Text of={person.disabledAt === null ? roleWords(person.roles) : 'no longer signs in'} />,
        <LastHere person={person} zone={zone} />,
      ])}
    />
  </article>
)

const LastHere = ({ person, zone }: { person: Listed; zone: string }): JSX.Element =>
  person.seenAt === null ? (
    <Text of={person.hasPassword ? 'not yet' : 'invited, not yet here'} />
  ) : (
    <InstantText at={person.seenAt} zone={zone} />
  )

export type PersonTyped = {
  name?: string
  email?: string
  phone?: string
  roles?: readonly string[]
}

/** Who a person is and what they may do. */
export const PersonFields = (props: {
  typed: PersonTyped
  faults?: readonly FieldFault[]
  withMail: boolean
}): JSX.Element => {
  const { typed, faults } = props
  return (
    <>
      <Field name="name" label="Name" value={typed.name} autocomplete="off" faults={faults} />
      {props.withMail ? (
        <Field name="email" label="Mail address" type="email" value={typed.email} autocomplete="off" faults={faults} />
      ) : (
        ''
      )}
      <CheckField
        name="roles"
        label="Roles"
        hint="One person may hold several."
        values={typed.roles ?? []}
        choices={roleChoices}
        faults={faults}
      />
      <Field name="phone" label="Phone" type="tel" value={typed.phone} autocomplete="off" faults={faults} optional />
    </>
  )
}

export const InviteView = (props: {
  csrf: string
  formKey: string
  typed: PersonTyped
  faults?: readonly FieldFault[]
  mails: boolean
}): JSX.Element => (
  <article class="narrow">
    <h1>Invite somebody</h1>
    <p>
      {props.mails
        ? 'They get a mail with a link that opens for seven days; behind it they set a password.'
        : 'No mail server is set up, so you are shown a link to hand over yourself. It opens for one hour.'}
    </p>
    <Form
      action={paths.inviteStaff()}
      submit="Invite"
      csrf={props.csrf}
      idempotencyKey={props.formKey}
      faults={props.faults}
      cancel={{ href: paths.staff() }}
    >
      <PersonFields typed={props.typed} faults={props.faults} withMail />
    </Form>
  </article>
)
