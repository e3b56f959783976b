import type { LocalDay } from '../../domain/facts.ts'
import { List } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { writtenNumber } from '../../web/written-number.ts'
import type { Apart } from './apart-queries.ts'
import { ApartPair } from './apart-view.tsx'
import type { PersonOnRecord } from './double-queries.ts'
import type { Double } from './find-doubles.ts'

type Props = {
  /** Each list one longer than is shown where more follow. */
  readonly doubles: readonly Double[]
  readonly apart: readonly Apart[]
  readonly most: number
  readonly country: string
  readonly zone: string
  readonly today: LocalDay
}

/** Entries that may be one person, two by two: a person decides; and those that were said to be two. */
export const DoublesView = ({ doubles, apart, most, country, zone, today }: Props): JSX.Element => (
  <>
    <h1>Entered twice?</h1>
    <p>
      These entries share a phone, a mail address, or a name and a town. Whether they are one person is for you to say;
      nothing is put together by itself.
    </p>
    <List
      title="Likely doubles"
      order="those of the same name first"
      count={Math.min(doubles.length, most)}
      noun={['pair', 'pairs']}
      items={doubles.slice(0, most).map(double => <Pair double={double} country={country} />)}
      empty={{ text: 'No two entries look like one person.', href: paths.people(), step: 'Back to all people' }}
    />
    {doubles.length > most ? <p class="small">There are more: they come up as these are settled.</p> : ''}
    {apart.length === 0 ? (
      ''
    ) : (
      <List
        title="Said to be two people"
        order="said last first"
        count={Math.min(apart.length, most)}
        noun={['pair', 'pairs']}
        items={apart.slice(0, most).map(said => <ApartPair {...{ said, zone, today }} />)}
        empty={{ text: '' }}
      />
    )}
    {apart.length > most ? <p class="small">Older ones stand on the page of either person.</p> : ''}
  </>
)

const Pair = ({ double: { one, other, why }, country }: { double: Double; country: string }): JSX.Element => (
  <>
    <p>
      <Named person={one} country={country} />
    </p>
    <p>
      <Named person={other} country={country} />
    </p>
    <p class="small" safe>{`${why.charAt(0).toUpperCase()}${why.slice(1)}.`}</p>
    <p>
      <a href={paths.mergePerson(other.id, one.id)}>Look at the two side by side</a>{' '}
      <a href={paths.peopleApart(one.id, other.id, 'list')}>They are two people</a>
    </p>
  </>
)

const Named = ({ person, country }: { person: PersonOnRecord; country: string }): JSX.Element => (
  <>
    <a href={paths.person(person.id)} safe>
      {person.name}
    </a>
    <span safe>{knownWords(person, country)}</span>
  </>
)

const knownWords = ({ phone, email, towns, homes }: PersonOnRecord, country: string): string =>
  [
    '',
    ...(phone ? [writtenNumber(phone, country)] : []),
    ...(email ? [email] : []),
    ...(towns.length > 0 ? [towns.join(' and ')] : []),
    homes === 0 ? 'around no home' : `${homes} ${homes === 1 ? 'home' : 'homes'}`,
  ].join(', ')
