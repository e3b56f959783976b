import { attributeText } from '../../web/attribute-text.ts'
import { Empty } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { Table, Text } from '../../web/table.tsx'
import { writtenNumber } from '../../web/written-number.ts'
import type { Customer } from './queries.ts'

type PeopleProps = {
  readonly people: readonly Customer[]
  readonly query: string
  readonly next: string | null
  /** The company's country: numbers of it are written as dialled there. */
  readonly country: string
}

/** Everyone the company deals with, by name. */
export function PeopleView({ people, query, next, country }: PeopleProps): JSX.Element {
  const shown = `${people.length}${next ? ' of more' : ''} ${people.length === 1 && !next ? 'person' : 'people'}, by name`
  return (
    <>
      <h1>People</h1>
      <form class="filter" action={paths.people()} method="get">
        <div class="field">
          <label for="name-part">Part of the name</label>
          <input id="name-part" name="q" type="search" value={attributeText(query)} autocomplete="off" />
        </div>
        <button type="submit">Show</button>
      </form>
      <p>
        <a class="button" href={paths.newPerson()}>
          Add a person or company
        </a>{' '}
        <a href={paths.doubledPeople()}>Look for entries made twice</a>
      </p>
      {people.length === 0 ? (
        <Nobody query={query} />
      ) : (
        <PeopleTable people={people} caption={shown} country={country} />
      )}
      {next ? (
        <p>
          <a class="next" href={next} rel="next">
            Show the next ones
          </a>
        </p>
      ) : (
        ''
      )}
    </>
  )
}

const Nobody = ({ query }: { query: string }): JSX.Element =>
  query === '' ? (
    <Empty
      text="Owners, tenants, agents and managers will stand here."
      href={paths.newPerson()}
      step="Add the first one"
    />
  ) : (
    <Empty text={`Nobody’s name holds “${query}”.`} href={paths.search(query)} step="Search homes for it" />
  )

const PeopleTable = (props: { people: readonly Customer[]; caption: string; country: string }): JSX.Element => (
  <Table
    caption={props.caption}
    columns={[{ words: 'Name' }, { words: 'Phone' }, { words: 'E-mail' }, { words: 'Mails' }]}
    rows={props.people.map(person => [
      <a href={paths.person(person.id)} safe>
        {person.name}
      </a>,
      <Text of={person.phone ? writtenNumber(person.phone, props.country) : '–'} />,
      <Text of={person.email ?? '–'} />,
      <Text of={mailWords(person)} />,
    ])}
  />
)

/** Whether reminders reach them. */
export const mailWords = (person: Customer): string => {
  if (person.mailsStoppedAt !== null) return 'stopped at their wish'
  if (person.mailRefusedAt !== null) return 'refused: correct the address'
  return person.email === null ? 'no address' : 'reach them'
}
