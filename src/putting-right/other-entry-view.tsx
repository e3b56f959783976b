import type { Double } from '../features/customers/find-doubles.ts'
import type { Customer } from '../features/customers/queries.ts'
import { Field } from '../web/field.tsx'
import { List } from '../web/list.tsx'
import { paths } from '../web/paths.ts'
import { writtenNumber } from '../web/written-number.ts'

type Props = {
  readonly person: Customer
  readonly doubles: readonly Double[]
  readonly others: readonly Customer[]
  readonly q: string
  readonly country: string
}

/** Which other entry is this person's, too: the likely ones, or whoever is searched for by name. */
export const OtherEntry = ({ person, doubles, others, q, country }: Props): JSX.Element => (
  <>
    <h1>Entered twice</h1>
    <p class="under-title" safe>
      {`Which other entry is ${person.name}’s, too?`}
    </p>
    <List
      title="Likely entries"
      order="by what they share"
      count={doubles.length}
      noun={['entry', 'entries']}
      items={doubles.map(({ other, why }) => (
        <>
          <Other id={person.id} other={other} country={country} />
          <p class="small" safe>{`${why.charAt(0).toUpperCase()}${why.slice(1)}.`}</p>
        </>
      ))}
      empty={{ text: 'Nobody shares their phone, their mail address, or their name and town.' }}
    />
    <form action={paths.mergePerson(person.id)} method="get" role="search" aria-label="Other entries">
      <Field name="q" label="Or find the entry by a part of its name" value={q} type="search" />
      <div class="actions">
        <button type="submit">Find the entry</button>
      </div>
    </form>
    {q && others.length === 0 ? <p role="status">No other entry’s name holds that.</p> : ''}
    {others.length > 0 ? (
      <List
        title="Found"
        order="by name"
        count={others.length}
        noun={['entry', 'entries']}
        items={others.map(other => <Other id={person.id} other={other} country={country} />)}
        empty={{ text: '' }}
      />
    ) : (
      ''
    )}
  </>
)

type One = { readonly id: string; readonly name: string; readonly phone: string | null; readonly email: string | null }
const Other = ({ id, other, country }: { id: string; other: One; country: string }): JSX.Element => (
  <p>
    <a href={paths.mergePerson(id, other.id)} safe>
      {other.name}
    </a>
    <span safe>
      {[other.phone && writtenNumber(other.phone, country), other.email]
        .map(known => (known ? `, ${known}` : ''))
        .join('')}
    </span>
  </p>
)
