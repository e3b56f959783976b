import type { LocalDay } from '../../domain/facts.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { List } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { InstantText } from '../../web/when-text.tsx'
import { writtenNumber } from '../../web/written-number.ts'
import type { Apart } from './apart-queries.ts'
import { ApartNotes } from './apart-view.tsx'
import type { Double } from './find-doubles.ts'
import { HomesOfPerson } from './homes-of-person.tsx'
import type { FormerDetail } from './merge-queries.ts'
import type { Around, MailToCustomer } from './page-queries.ts'
import { mailWords } from './people-view.tsx'
import type { Customer } from './queries.ts'

type PersonProps = {
  readonly person: Customer
  readonly around: Around
  /** What they were called and reached by before, when they were two entries. */
  readonly former: readonly FormerDetail[]
  readonly doubles: readonly Double[]
  readonly apart: readonly Apart[]
  readonly zone: string
  readonly today: LocalDay
  readonly country: string
  readonly mayChange: boolean
  readonly csrf: string
  readonly faults?: readonly FieldFault[]
}

/** One person or company: how to reach them, their homes, the mails sent to them. */
export function PersonView(props: PersonProps): JSX.Element {
  const { person, around, former, doubles, apart, zone, today, country, mayChange } = props
  return (
    <>
      <h1 class={person.voidedAt === null ? undefined : 'voided'} safe>
        {person.name}
      </h1>
      <OutOfUse person={person} />
      {doubles.map(({ other, why }) => (
        <p class="note">
          {'Entered twice? '}
          <a href={paths.mergePerson(other.id, person.id)} safe>{`Look at ${other.name} beside this entry`}</a>
          <span safe>{`: ${why}. `}</span>
          <a href={paths.peopleApart(person.id, other.id)}>They are two people</a>
        </p>
      ))}
      <ApartNotes {...{ id: person.id, apart, zone, today, mayChange }} />
      <Reach person={person} country={country} former={former} />
      {mayChange && person.voidedAt === null ? (
        <p>
          <a class="button" href={paths.changePerson(person.id)}>
            Correct
          </a>{' '}
          <a href={paths.mergePerson(person.id)}>This person was entered twice</a>
        </p>
      ) : (
        ''
      )}
      <HomesOfPerson homes={around.homes} today={today} />
      <List
        title="Mails"
        order="newest first"
        count={around.mails.length}
        noun={['mail', 'mails']}
        items={around.mails.map(mail => <MailLine mail={mail} zone={zone} today={today} />)}
        empty={{ text: 'Nothing was mailed to them yet.' }}
      />
      {mayChange && person.voidedAt === null ? <VoidForm {...props} /> : ''}
    </>
  )
}

function OutOfUse({ person }: { person: Customer }): JSX.Element {
  if (person.voidedAt === null) return ''
  if (person.mergedIntoId === null) return <p class="message" safe>{`Voided: ${person.voidReason ?? ''}`}</p>
  return (
    <p class="message">
      {'This was a second entry of one person. '}
      <a href={paths.person(person.mergedIntoId)}>Go to the entry that stays</a>
      <span safe>{`. ${person.voidReason ?? ''}`}</span>
    </p>
  )
}

type ReachProps = { readonly person: Customer; readonly country: string; readonly former: readonly FormerDetail[] }
function Reach({ person, country, former }: ReachProps): JSX.Element {
  const address = [
    person.street,
    person.city,
    [person.region, person.postcode].filter(Boolean).join(' '),
    person.country,
  ]
  return (
    <dl class="pair">
      <div>
        <dt>Phone</dt>
        <dd>
          {person.phone ? (
            <a href={`tel:${person.phone}`} safe>
              {writtenNumber(person.phone, country)}
            </a>
          ) : (
            'not known'
          )}
        </dd>
      </div>
      <div>
        <dt>E-mail</dt>
        <dd>
          {person.email ? (
            <a href={`mailto:${person.email}`} safe>
              {person.email}
            </a>
          ) : (
            'not known'
          )}
        </dd>
      </div>
      <div>
        <dt>Address</dt>
        <dd safe>{address.filter(Boolean).join(', ') || 'not known'}</dd>
      </div>
      <div>
        <dt>Reminders</dt>
        <dd safe>{mailWords(person)}</dd>
      </div>
      {former.length === 0 ? (
        ''
      ) : (
        <div>
          <dt>Before</dt>
          <dd safe>
            {former.map(({ field, value }) => (field === 'phone' ? writtenNumber(value, country) : value)).join(', ')}
          </dd>
        </div>
      )}
      {person.note === '' ? (
        ''
      ) : (
        <div>
          <dt>Note</dt>
          <dd safe>{person.note}</dd>
        </div>
      )}
    </dl>
  )
}

const MailLine = ({ mail, zone, today }: { mail: MailToCustomer; zone: string; today: LocalDay }): JSX.Element => (
  <p>
    <InstantText at={mail.at} zone={zone} today={today} />{' '}
    <a href={paths.mail(mail.id)} safe>
      {mail.subject}
    </a>
    <span safe>{`, ${mail.state}`}</span>
  </p>
)

const VoidForm = ({ person, csrf, faults }: PersonProps): JSX.Element => (
  <details class="grave" open={faults !== undefined}>
    <summary>Take out of use</summary>
    <p>
      <span safe>{person.name}</span> is then offered nowhere any more; what was recorded stays. Not possible while a
      home is theirs, they have a part in work, or a kit is out with them.
    </p>
    <Form
      action={paths.person(person.id)}
      submit="Take out of use"
      csrf={csrf}
      version={person.version}
      faults={faults}
      grave
    >
      <Field name="reason" label="Why" faults={faults} maxlength={500} />
    </Form>
  </details>
)
