import { languageWords } from '../../web/language-words.ts'
import { paths } from '../../web/paths.ts'
import { personRoleWords } from '../../web/person-role-words.ts'
import { writtenNumber } from '../../web/written-number.ts'
import type { CallHome, CallPerson } from './call-queries.ts'

const livesThere = ({ roles }: CallPerson) => roles.some(role => role === 'occupant' || role === 'tenant')
/** `owner and occupant`. */
export const rolesWords = ({ roles }: Pick<CallPerson, 'roles'>): string => roles.map(personRoleWords).join(' and ')
/** Those who may be calling, to choose from. */
export const callersOf = ({ people }: Pick<CallHome, 'people'>) =>
  people.map(({ customerId, name, roles }) => ({ customerId, name, role: rolesWords({ roles }) }))
const channels = { email: 'by mail', phone: 'by phone', letter: 'by letter' } as const

/** Who lives there and who else is around the home today, each with how they want to be reached. */
export function CallPeople({ home }: { home: CallHome }): JSX.Element {
  return (
    <section id="people">
      <h2>Who is there</h2>
      {home.people.some(livesThere) ? '' : <p class="unknown">Who lives there is not on record: ask.</p>}
      {home.people.length === 0 ? <p class="empty">Nobody is known for this home yet.</p> : ''}
      <ul class="ruled">
        {home.people.map(person => (
          <li>
            <Person person={person} country={home.country} />
          </li>
        ))}
      </ul>
    </section>
  )
}

function Person({ person, country }: { person: CallPerson; country: string }): JSX.Element {
  const { phone, email } = person
  return (
    <>
      <p>
        <a href={paths.person(person.customerId)} safe>
          {person.name}
        </a>
        <span safe>{`, ${rolesWords(person)}${livesThere(person) ? ', lives there' : ''}`}</span>
        {phone ? (
          <>
            {', '}
            <a href={`tel:${phone}`} safe>
              {writtenNumber(phone, country)}
            </a>
          </>
        ) : (
          ''
        )}
        {email ? (
          <>
            {', '}
            <a href={`mailto:${email}`} safe>
              {email}
            </a>
          </>
        ) : (
          ''
        )}
      </p>
      <p class="line small" safe>
        {reachWords(person)}
      </p>
    </>
  )
}

// A way that was preferred and is not on record must be told: nobody should look for it.
function reachWords({ preferredChannel, language, phone, email, mailsStopped }: CallPerson): string {
  const missing = (preferredChannel === 'phone' && !phone) || (preferredChannel === 'email' && !email)
  return [
    `prefers to be reached ${channels[preferredChannel]}${missing ? ', which is not on record' : ''}`,
    `speaks ${languageWords(language)}`,
    mailsStopped ? 'wants no reminders by mail' : '',
  ]
    .filter(Boolean)
    .join('; ')
}

/** What a crew must know at the door, for whoever is sent there; to others only whether something is noted. */
export function CallAccess({ home }: { home: CallHome }): JSX.Element {
  const lines = home.access
    ? (
        [
          ['Key and way in', home.access.accessNote],
          ['Gate code', home.access.gateCode],
          ['Dog', home.access.dogNote],
        ] as const
      ).filter(([, text]) => text !== '')
    : []
  return (
    <section id="access">
      <h2>Getting in</h2>
      {lines.length > 0 ? (
        <dl class="pair">
          {lines.map(([label, text]) => (
            <div>
              <dt>{label}</dt>
              <dd safe>{text}</dd>
            </div>
          ))}
        </dl>
      ) : (
        <p class="small">
          {home.accessNoted
            ? 'Key, gate or dog is noted. It is shown to those who are sent there by a planned visit.'
            : 'Nothing is noted about key, gate or dog: ask when a visit is planned.'}
        </p>
      )}
    </section>
  )
}

/** The other units at the address, one tap from each other. */
export function CallUnits({ home }: { home: CallHome }): JSX.Element {
  if (home.units.length < 2) return ''
  return (
    <nav id="units" aria-label="Units at this address">
      <h2 safe>{`${home.units.length} units at this address`}</h2>
      <ul class="inline">
        {home.units.map(({ id, unit, owner }) => (
          <li>
            <a href={paths.homePhone(id)} aria-current={id === home.id ? 'page' : undefined} safe>
              {`${unit || 'no unit'}${owner ? ` (${owner})` : ''}`}
            </a>
          </li>
        ))}
      </ul>
    </nav>
  )
}
