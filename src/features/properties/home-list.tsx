import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Instant } from '../../domain/facts.ts'
import { standingFrom } from '../../standing/kept-text.ts'
import { Empty } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { SectionThumbnail } from '../../web/section/section-drawing.tsx'
import { VerdictMark } from '../../web/verdict-mark.tsx'
import { DueDay } from '../../web/when-text.tsx'
import { streetOf } from './home-view.tsx'
import type { HomeLine } from './list-queries.ts'
import { sectionOfHome } from './section-of-home.ts'
import { spoken } from './words.ts'

/** What the list can be narrowed to, in the words of its links. */
export const shows = {
  all: 'All homes',
  due: 'Overdue or due in 30 days',
  'at-or-above': 'At or above the level',
  'needs-follow-up': 'Needs follow-up',
  undetermined: 'Undetermined',
  below: 'Below the level',
} as const
export type Show = keyof typeof shows

type HomeListProps = {
  readonly homes: readonly HomeLine[]
  readonly show: Show
  readonly next: string | null
  readonly now: Instant
  readonly mayEnter: boolean
}

/** Homes by what they owe next. */
export function HomeList({ homes, show, next, now, mayEnter }: HomeListProps): JSX.Element {
  const count = `${homes.length}${next ? ' of more' : ''} ${homes.length === 1 && !next ? 'home' : 'homes'}, by next due day`
  return (
    <>
      <h1>Homes</h1>
      <nav class="shows" aria-label="Show">
        <ul>
          {(Object.keys(shows) as Show[]).map(name => (
            <li>
              <a href={paths.homes({ show: name })} aria-current={name === show ? 'true' : undefined}>
                {shows[name]}
              </a>
            </li>
          ))}
        </ul>
      </nav>
      {mayEnter ? (
        <p>
          <a class="button" href={paths.newHome()}>
            Enter a home
          </a>{' '}
          <a href={paths.newImport()}>Bring in a table of homes</a> <a href={paths.missing()}>What is missing</a>{' '}
          <a href={paths.month()}>This month’s list</a>
        </p>
      ) : (
        ''
      )}
      {homes.length === 0 ? (
        <NoHomes show={show} mayEnter={mayEnter} />
      ) : (
        <p class="how-many" safe>
          {count}
        </p>
      )}
      <ul class="ruled homes">
        {homes.map(home => (
          <li>
            <HomeEntry home={home} now={now} />
          </li>
        ))}
      </ul>
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

function NoHomes({ show, mayEnter }: { show: Show; mayEnter: boolean }): JSX.Element {
  if (show !== 'all')
    return <Empty text={`No home is here under “${shows[show]}”.`} href={paths.homes()} step="Show all homes" />
  if (!mayEnter) return <Empty text="Homes of your visits will stand here from when you are assigned to one." />
  return <Empty text="Homes will stand here by what they owe next." href={paths.newHome()} step="Enter the first one" />
}

function HomeEntry({ home, now }: { home: HomeLine; now: Instant }): JSX.Element {
  const standing = standingFrom(home.body, home.evaluations)
  const facts = sectionOfHome(
    { zone: home.zone, storeys: home.storeys, foundationAreas: home.foundationAreas, testLocations: home.locations },
    [],
    standing.tests,
  )
  const owed = standing.obligations.find(obligation => obligation.dueOn === home.nextDueOn)
  return (
    <div class="with-thumbnail">
      <SectionThumbnail facts={facts} id={`thumb-${home.id}`} />
      <div>
        <p>
          <a href={paths.home(home.id)} safe>
            {`${streetOf(home)}, ${home.city}`}
          </a>
          <span safe>{home.owner === null ? '' : `, ${home.owner}`}</span>
        </p>
        <p class="line">
          <VerdictMark {...standing.verdict} short />
          {home.nextDueOn === null ? (
            ', nothing owed'
          ) : (
            <>
              <span safe>{`, ${spoken(owed?.kind ?? 'due').toLowerCase()} `}</span>
              <DueDay day={home.nextDueOn} today={localDayOf(now, home.zone)} />
            </>
          )}
        </p>
      </div>
    </div>
  )
}
