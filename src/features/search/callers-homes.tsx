import type { LocalDay } from '../../domain/facts.ts'
import { paths } from '../../web/paths.ts'
import type { Apart } from './apart-queries.ts'
import { HitLines, NoHits } from './hit-list.tsx'
import { addressOf } from './present.ts'
import type { Hit } from './search-homes.ts'

type Props = {
  readonly query: string
  readonly homes: readonly Hit[]
  readonly apart: ReadonlyMap<string, Apart>
  readonly today: LocalDay
  readonly more: boolean
}

/** The homes a caller may mean, each with what tells it from the others. */
export function CallersHomes({ query, homes, apart, today, more }: Props): JSX.Element {
  if (query === '')
    return (
      <p>
        Type what the caller says into the box above: a part of the address, a phone number however it is written, a
        name, of a former owner too, a tag or a unit. One clear home opens at once.
      </p>
    )
  if (homes.length === 0) return <NoHits query={query} />
  const person = sharedPerson(homes)
  return (
    <section class="list">
      <p class="how-many" role="status" safe>
        {`${homes.length}${more ? ' or more' : ''} homes, likeliest first: which one?`}
      </p>
      {person ? (
        <p>
          {'All of them are reached at '}
          <a href={paths.person(person.sourceId)} safe>
            {person.shown}
          </a>
          {': every home of theirs, by what is due.'}
        </p>
      ) : (
        ''
      )}
      <ol class="ruled hits">
        {homes.map(hit => (
          <li>
            <p>
              <a href={paths.homePhone(hit.propertyId)} safe>
                {addressOf(hit)}
              </a>
            </p>
            <p class="line" safe>
              {apartWords(apart.get(hit.propertyId))}
            </p>
            <HitLines hit={hit} today={today} most={2} />
          </li>
        ))}
      </ol>
      {more ? <p class="small">There are more: add a word to narrow it.</p> : ''}
    </section>
  )
}

const apartWords = (apart: Apart | undefined): string =>
  [
    apart?.owner ? `owner ${apart.owner}` : 'owner not known',
    apart?.livesThere ? `lives there: ${apart.livesThere}` : '',
    apart?.tags ? `tag ${apart.tags}` : '',
  ]
    .filter(Boolean)
    .join('; ')

const ofPeople = new Set(['owner', 'person', 'former-name', 'phone', 'email'])

/** The one person by whom every one of several homes was found: a manager, an owner of many. */
function sharedPerson(homes: readonly Hit[]) {
  const [first, ...others] = homes.map(({ matches }) => matches.filter(({ kind }) => ofPeople.has(kind)))
  if (others.length === 0) return undefined
  return first?.find(({ sourceId }) => others.every(matches => matches.some(match => match.sourceId === sourceId)))
}
