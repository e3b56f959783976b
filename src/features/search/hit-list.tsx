import type { VerdictOutcome } from '../../domain/answers.ts'
import type { LocalDay } from '../../domain/facts.ts'
import { Empty } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { VerdictMark } from '../../web/verdict-mark.tsx'
import { DueDay } from '../../web/when-text.tsx'
import { addressOf } from './present.ts'
import type { Match } from './rank-homes.ts'
import type { Hit } from './search-homes.ts'

export const kindWords: Record<string, string> = {
  address: 'address',
  postcode: 'postcode',
  owner: 'owner',
  'former-owner': 'former owner',
  person: 'person',
  'former-name': 'former name',
  phone: 'phone',
  email: 'e-mail',
  tag: 'system tag',
  serial: 'serial of a part',
  device: 'serial of a device',
  kit: 'kit number',
}

/** Where on the home's page the matched record stands. */
export const hrefOf = (propertyId: string, match: Match | undefined): string =>
  `${paths.home(propertyId)}${match?.kind === 'tag' ? `#system-${match.sourceId}` : ''}`

/** What a search found, the likeliest first, each with what matched. */
export function HitList(props: { query: string; hits: readonly Hit[]; today: LocalDay; more: boolean }): JSX.Element {
  const { query, hits, today, more } = props
  if (hits.length === 0) return <NoHits query={query} />
  const count = `${hits.length}${more ? ' or more' : ''} ${hits.length === 1 && !more ? 'home' : 'homes'}, likeliest first`
  return (
    <section class="list">
      <p class="how-many" role="status" safe>
        {count}
      </p>
      <ol class="ruled hits">
        {hits.map(hit => (
          <li>
            <p>
              <a href={hrefOf(hit.propertyId, hit.matches[0])} safe>
                {addressOf(hit)}
              </a>
            </p>
            <HitLines hit={hit} today={today} most={3} />
          </li>
        ))}
      </ol>
      {more ? <p class="small">There are more: add a word to narrow it.</p> : ''}
    </section>
  )
}

/** How a home stands and what is next due, and by what it was found. */
export const HitLines = ({ hit, today, most }: { hit: Hit; today: LocalDay; most: number }): JSX.Element => (
  <>
    <p class="line">
      {hit.outcome ? <Short outcome={hit.outcome} /> : ''}
      {hit.nextDueOn ? (
        <>
          {', next due '}
          <DueDay day={hit.nextDueOn} today={today} />
        </>
      ) : (
        ''
      )}
    </p>
    <p class="matched small" safe>
      {hit.matches
        .slice(0, most)
        .map(match => `${kindWords[match.kind] ?? match.kind}: ${match.shown}`)
        .join(' · ')}
    </p>
  </>
)

const Short = ({ outcome }: { outcome: string }): JSX.Element => (
  <VerdictMark outcome={outcome as VerdictOutcome} reason={null} level={null} short />
)

export const NoHits = ({ query }: { query: string }): JSX.Element => (
  <Empty
    text={
      query === ''
        ? 'Type a part of an address, a name, a phone number, a mail address, a tag or a serial.'
        : `No home answers to “${query}”. Looked at addresses, owners past and present, other people, phone numbers, mail addresses, tags, serials and kit numbers.`
    }
    href={paths.newHome()}
    step="Enter a new home"
  />
)
