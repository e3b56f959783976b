import type { LevelRef, Standing } from '../../domain/answers.ts'
import type { LocalDay, SeriesFacts } from '../../domain/facts.ts'
import { Empty } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { SectionDrawing } from '../../web/section/section-drawing.tsx'
import type { HomeHistory } from './home-history.ts'
import { HomeRecords } from './home-records.tsx'
import { HomeTimeline } from './home-timeline.tsx'
import { NoteForm } from './note-form.tsx'
import { AccessSection, PeopleSection } from './people-section.tsx'
import type { AroundHome, Property } from './rows.ts'
import { sectionOfHome } from './section-of-home.ts'
import { StandingSection } from './standing-section.tsx'
import { SystemsSection } from './systems-section.tsx'

export type HomeViewProps = {
  readonly home: Property
  readonly standing: { readonly standing: Standing; readonly stale: boolean } | null
  readonly people: readonly AroundHome[]
  readonly history: HomeHistory
  readonly records: ReadonlyMap<string, SeriesFacts>
  /** The level drawn into the records. */
  readonly level: LevelRef | null
  readonly today: LocalDay
  readonly mayChange: boolean
  readonly csrf: string
  readonly noteKey: string
}

/** A home: in section, how it stands and what it owes, then everything that ever happened there. */
export function HomeView(props: HomeViewProps): JSX.Element {
  const { home, standing, people, history, records, level, today, mayChange, csrf, noteKey } = props
  const tests = standing?.standing.tests ?? []
  const street = streetOf(home)
  return (
    <div class="home">
      <h1 class={home.voidedAt === null ? undefined : 'voided'} safe>
        {street}
      </h1>
      <p class="under-title" safe>
        {townOf(home)}
      </p>
      {home.voidedAt === null ? '' : <Voided home={home} mayChange={mayChange} />}
      <div class="home-columns">
        <div>
          <SectionDrawing facts={sectionOfHome(home, history.systems, tests)} home={street} />
          <Acts home={home} mayChange={mayChange} />
        </div>
        {standing ? (
          <StandingSection standing={standing.standing} today={today} beingRecomputed={standing.stale} />
        ) : (
          <Empty text="How this home stands is not worked out yet." />
        )}
      </div>
      <div class="home-columns">
        <div>
          <PeopleSection homeId={home.id} people={people} country={home.country} mayChange={mayChange} />
          <AccessSection home={home} />
        </div>
        <div>
          <SystemsSection homeId={home.id} systems={history.systems} zone={home.zone} today={today} />
        </div>
      </div>
      {standing && records.size > 0 ? <HomeRecords standing={standing.standing} records={records} level={level} /> : ''}
      <div class="home-columns">
        <HomeTimeline {...{ home, history, people, tests, today, mayChange }} />
        <NoteForm homeId={home.id} csrf={csrf} formKey={noteKey} />
      </div>
    </div>
  )
}

const Voided = ({ home, mayChange }: Pick<HomeViewProps, 'home' | 'mayChange'>): JSX.Element => (
  <p class="message">
    <span safe>{`Voided: ${home.voidReason ?? ''}. `}</span>
    {home.mergedIntoId ? (
      <>
        <a href={paths.home(home.mergedIntoId)}>Its records are at the entry that stays</a>
        {'; what this one says of the house itself is still here. '}
      </>
    ) : (
      ''
    )}
    {mayChange ? <a href={paths.putRight('property', home.id)}>What was put right, and how to undo it</a> : ''}
  </p>
)

export const streetOf = (home: Pick<Property, 'street' | 'unit'>): string =>
  [home.street, home.unit].filter(Boolean).join(' ')

const townOf = (home: Property): string => {
  const where = [home.city, [home.region, home.postcode].filter(Boolean).join(' '), home.country]
  const facts = [home.yearBuilt && `built ${home.yearBuilt}`, home.zone.replaceAll('_', ' ')]
  return `${where.filter(Boolean).join(', ')} (${facts.filter(Boolean).join(', ')})`
}

// What can be entered, each one tap away; a home that is out of use takes nothing.
function Acts({ home, mayChange }: { home: Property; mayChange: boolean }): JSX.Element {
  if (home.voidedAt !== null) return ''
  return (
    <nav class="acts" aria-label="Enter for this home">
      <ul>
        <li>
          <a class="button" href={paths.newTest(home.id)}>
            Test
          </a>
        </li>
        <li>
          <a class="button" href={paths.newImport(home.id)}>
            Monitor file
          </a>
        </li>
        <li>
          <a class="button" href={paths.newSystem(home.id)}>
            System
          </a>
        </li>
        <li>
          <a class="button" href={paths.newCallback(home.id)}>
            Callback
          </a>
        </li>
        <li>
          <a class="button" href={paths.newVisit(home.id)}>
            Visit
          </a>
        </li>
        <li>
          <a class="button" href={paths.homeDevices(home.id)}>
            Devices here
          </a>
        </li>
        {mayChange ? <OfficeActs home={home} /> : ''}
      </ul>
    </nav>
  )
}

const OfficeActs = ({ home }: { home: Property }): JSX.Element => (
  <>
    <li>
      <a class="button" href={paths.homePhone(home.id)}>
        On the phone
      </a>
    </li>
    <li>
      <a class="button" href={paths.homeClosing(home.id)}>
        Closing
      </a>
    </li>
    <li>
      <a class="button" href={paths.homeEvents(home.id)}>
        Change to the home
      </a>
    </li>
    <li>
      <a class="button" href={paths.homeRooms(home.id)}>
        Rooms and foundation
      </a>
    </li>
    <li>
      <a class="button" href={paths.changeHome(home.id)}>
        Correct
      </a>
    </li>
    <li>
      <a class="button" href={paths.putRight('property', home.id)}>
        Put right
      </a>
    </li>
  </>
)
