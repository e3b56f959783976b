import type { LocalDay } from '../../domain/facts.ts'
import { List } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { InstantText } from '../../web/when-text.tsx'
import type { Revision } from './revision-queries.ts'
import { spoken } from './words.ts'

type RevisionsProps = {
  readonly homeId: string
  readonly zone: string
  readonly today: LocalDay
  readonly revisions: readonly Revision[]
  readonly next: string | null
}

const actors: Record<Revision['actorKind'], string> = {
  staff: 'somebody of the company',
  app: 'an app',
  homeowner: 'the homeowner',
  operator: 'the operator',
  system: 'the program',
}

/** What corrections replaced, newest first: the old values, who, when and why. */
export function RevisionsView({ homeId, zone, today, revisions, next }: RevisionsProps): JSX.Element {
  return (
    <>
      <h1>What was corrected</h1>
      <p>
        <a href={paths.home(homeId)}>Back to the home</a>
      </p>
      <List
        title="Corrections"
        order="newest first"
        count={revisions.length}
        noun={['correction', 'corrections']}
        items={revisions.map(revision => <Entry revision={revision} zone={zone} today={today} />)}
        empty={{ text: 'Nothing was corrected or voided here yet.' }}
        next={next}
      />
    </>
  )
}

const Entry = ({ revision, zone, today }: { revision: Revision; zone: string; today: LocalDay }): JSX.Element => (
  <>
    <p>
      <InstantText at={revision.at} zone={zone} today={today} />
      <span safe>
        {`: ${spoken(revision.noun.replaceAll('_', '-')).toLowerCase()} changed by ${revision.byName ?? actors[revision.actorKind]}`}
      </span>
      <span safe>{becauseWords(revision)}</span>
    </p>
    <dl class="pair">
      {Object.entries(revision.was)
        .filter(([, value]) => typeof value !== 'object' || value === null)
        .map(([field, value]) => (
          <div>
            <dt safe>{`${wordsOfField(field)} was`}</dt>
            <dd safe>{value === null || value === '' ? 'empty' : String(value)}</dd>
          </div>
        ))}
    </dl>
  </>
)

const becauseWords = ({ reason }: Revision): string => (reason ? `, because: ${reason}` : '')

// `yearBuilt` → `Year built`
const wordsOfField = (field: string): string => {
  const words = field.replaceAll(/([A-Z0-9]+)/g, ' $1').toLowerCase()
  return words.charAt(0).toUpperCase() + words.slice(1)
}
