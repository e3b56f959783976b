import { Empty } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { DayText } from '../../web/when-text.tsx'
import { writtenNumber } from '../../web/written-number.ts'
import type { AroundHome, Property } from './rows.ts'
import { spoken } from './words.ts'

/** Who is around the home today and was before, each one tap from a call or a mail. */
export function PeopleSection(props: {
  homeId: string
  people: readonly AroundHome[]
  /** Of the home: numbers of it are written as dialled there. */
  country: string
  mayChange: boolean
}): JSX.Element {
  const { homeId, people, country, mayChange } = props
  return (
    <section id="people">
      <h2>People</h2>
      {people.length === 0 ? <Empty text="Nobody is known for this home yet." /> : ''}
      <ul class="ruled">
        {people.map(person => (
          <li class={person.untilOn === null ? undefined : 'former'}>
            <Person person={person} country={country} mayChange={mayChange} />
          </li>
        ))}
      </ul>
      {mayChange ? (
        <p>
          <a class="button quiet" href={paths.homePeople(homeId)}>
            Change of owner, other people
          </a>
        </p>
      ) : (
        ''
      )}
    </section>
  )
}

function Person({
  person,
  country,
  mayChange,
}: {
  person: AroundHome
  country: string
  mayChange: boolean
}): JSX.Element {
  const role = person.untilOn === null ? spoken(person.role) : `Former ${spoken(person.role).toLowerCase()}`
  return (
    <p>
      <span safe>{`${role}: `}</span>
      {mayChange ? (
        <a href={paths.person(person.customerId)} safe>
          {person.name}
        </a>
      ) : (
        <strong safe>{person.name}</strong>
      )}
      {person.untilOn === null ? <Reach person={person} country={country} /> : <Until day={person.untilOn} />}
    </p>
  )
}

const Until = ({ day }: { day: string }): JSX.Element => (
  <>
    {', until '}
    <DayText day={day} />
  </>
)

const Reach = ({ person, country }: { person: AroundHome; country: string }): JSX.Element => (
  <>
    {person.phone ? (
      <>
        {', '}
        <a href={`tel:${person.phone}`} safe>
          {writtenNumber(person.phone, country)}
        </a>
      </>
    ) : (
      ''
    )}
    {person.email ? (
      <>
        {', '}
        <a href={`mailto:${person.email}`} safe>
          {person.email}
        </a>
      </>
    ) : (
      ''
    )}
  </>
)

/** What a crew must know at the door. */
export function AccessSection({ home }: { home: Property }): JSX.Element {
  const lines = (
    [
      ['Access', home.accessNote],
      ['Gate code', home.gateCode],
      ['Dog', home.dogNote],
      ['Note', home.note],
    ] as const
  ).filter(([, text]) => text !== '')
  return (
    <section id="access">
      <h2>Getting in</h2>
      {lines.length === 0 ? <Empty text="Nothing is noted about access." /> : ''}
      <dl class="pair">
        {lines.map(([label, text]) => (
          <div>
            <dt>{label}</dt>
            <dd safe>{text}</dd>
          </div>
        ))}
      </dl>
    </section>
  )
}
