import { paths } from '../../web/paths.ts'
import { Table } from '../../web/table.tsx'
import { writtenNumber } from '../../web/written-number.ts'
import { streetOf } from './home-view.tsx'
import { type IncompleteHome, type Known, type MissingThing, missingThings, mostCounted } from './missing-queries.ts'

/** What each thing is called in a list, and on the paper where it is filled in. */
export const thingWords: Readonly<Record<MissingThing, string>> = {
  owner: 'Owner',
  contact: 'Phone or mail address',
  'fan-date': 'When the fan was put in',
  'fan-serial': 'Fan’s serial number',
  gauge: 'Gauge at start-up',
  'start-date': 'When the system was started',
  'post-test': 'Test after mitigation',
  'test-date': 'Day of each test',
  zone: 'Time zone',
}

type Props = {
  readonly known: readonly Known[]
  readonly homes: readonly IncompleteHome[]
  readonly what: MissingThing | null
  readonly next: string | null
}

/** How much of the book is known, and home by home what is not: printed, it is filled in at the next visit. */
export function MissingView({ known, homes, what, next }: Props): JSX.Element {
  return (
    <>
      <h1>What is missing</h1>
      <p safe>{sentenceOf(known)}</p>
      <KnownTable known={known} />
      <nav class="shows" aria-label="Show homes that lack">
        <ul>
          <li>
            <a href={paths.missing()} aria-current={what === null ? 'true' : undefined}>
              Anything
            </a>
          </li>
          {missingThings.map(thing => (
            <li>
              <a href={paths.missing({ what: thing })} aria-current={thing === what ? 'true' : undefined} safe>
                {thingWords[thing]}
              </a>
            </li>
          ))}
        </ul>
      </nav>
      {homes.length === 0 ? (
        <p class="empty">Nothing is missing here: of every home this is known, as far as it needs it.</p>
      ) : (
        <HomesTable homes={homes} what={what} more={next !== null} />
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

/** `Of 7,812 things that should be known of these homes, 6,200 are known, 312 are a guess and 1,300 are missing.` */
function sentenceOf(known: readonly Known[]): string {
  const sum = (of: 'known' | 'guess' | 'missing') => known.reduce((total, row) => total + row[of], 0)
  const [sure, guess, missing] = [sum('known'), sum('guess'), sum('missing')]
  const all = sure + guess + missing
  if (all === 0) return 'No home is on record yet.'
  const counted = known[0]!.known + known[0]!.guess + known[0]!.missing
  const which = counted < mostCounted ? 'these homes' : `the first ${mostCounted} homes`
  return `Of ${all} things that should be known of ${which}, ${sure} are known, ${guess} are a guess and ${missing} are missing.`
}

const KnownTable = ({ known }: { known: readonly Known[] }): JSX.Element => (
  <Table
    caption="How much of the book is known"
    scrolls
    columns={[
      { words: 'What' },
      { words: 'Known', numeric: true },
      { words: 'A guess', numeric: true },
      { words: 'Missing', numeric: true },
    ]}
    rows={known.map(({ thing, ...row }) => [
      <span safe>{thingWords[thing]}</span>,
      ...(['known', 'guess', 'missing'] as const).map(of => <span safe>{String(row[of])}</span>),
    ])}
  />
)

const HomesTable = ({
  homes,
  what,
  more,
}: {
  homes: readonly IncompleteHome[]
  what: Props['what']
  more: boolean
}): JSX.Element => (
  <Table
    caption={`${homes.length} ${homes.length === 1 ? 'home' : 'homes'}${more ? ' of a longer list' : ''}, by town and street`}
    columns={[{ words: 'Home' }, { words: 'Owner' }, { words: 'Missing, or only a guess' }, { words: 'To fill in' }]}
    rows={homes.map(home => [
      <a href={paths.home(home.id)} safe>{`${streetOf(home)}, ${home.city}`}</a>,
      <span
        safe
      >{`${home.owner ?? 'not known'}${home.phone ? `, ${writtenNumber(home.phone, home.country)}` : ''}`}</span>,
      <span safe>{lackedBy(home, what)}</span>,
      <span class="to-fill-in" />,
    ])}
  />
)

/** What a home lacks, the thing looked for first. */
function lackedBy({ states }: IncompleteHome, what: MissingThing | null): string {
  const order = what === null ? missingThings : [what, ...missingThings.filter(thing => thing !== what)]
  return order
    .filter(thing => states[thing] === 'missing' || states[thing] === 'guess')
    .map(thing => `${thingWords[thing]}${states[thing] === 'guess' ? ' (a guess)' : ''}`)
    .join('; ')
}
