import type { EvaluatedTest } from '../../domain/answers.ts'
import type { LocalDay } from '../../domain/facts.ts'
import { attributeText } from '../../web/attribute-text.ts'
import { paths } from '../../web/paths.ts'
import { Timeline } from '../../web/timeline.tsx'
import type { HomeHistory } from './home-history.ts'
import type { AroundHome, Property } from './rows.ts'
import { type TimelineEntry, timelineEntries } from './timeline-entries.ts'

type TimelineProps = {
  readonly home: Property
  readonly history: HomeHistory
  readonly people: readonly AroundHome[]
  readonly tests: readonly EvaluatedTest[]
  readonly today: LocalDay
  readonly mayChange: boolean
}

/** Everything that ever happened at a home, newest first; what was voided is struck through and says why. */
export function HomeTimeline({ home, history, people, tests, today, mayChange }: TimelineProps): JSX.Element {
  const entries = timelineEntries(history, people, tests).map(entry => ({
    id: entry.key,
    when: { at: entry.at, edtf: entry.edtf },
    what: entry.title,
    href: hrefOf(entry, mayChange),
    line: <Line entry={entry} putRight={mayChange ? putRightOf(entry) : null} />,
  }))
  return (
    <div id="timeline">
      <Timeline title="History" entries={entries} zone={home.zone} today={today} />
      <p>
        <a href={paths.homeChanges(home.id)}>What was corrected, by whom and why</a>
      </p>
    </div>
  )
}

function hrefOf({ kind, factId }: TimelineEntry, mayChange: boolean): string | null {
  if (kind === 'correction') return mayChange ? paths.correction(factId) : null
  if (kind === 'test') return paths.test(factId)
  if (kind === 'callback') return paths.callback(factId)
  if (kind === 'visit') return paths.visit(factId)
  return kind === 'mail' ? paths.mail(factId) : null
}

// What has no page of its own is put right from here.
function putRightOf({ kind, factId }: TimelineEntry): string | null {
  if (kind === 'note') return paths.putRight('note', factId)
  return kind === 'home' ? paths.putRight('home_event', factId) : null
}

const Line = ({ entry, putRight }: { entry: TimelineEntry; putRight: string | null }): JSX.Element => (
  <>
    {entry.voided ? (
      <p>
        <del safe>{entry.detail || entry.title}</del> <span safe>{`${entry.voided.how}: ${entry.voided.reason}`}</span>
      </p>
    ) : (
      <p safe>{entry.detail}</p>
    )}
    {entry.photoNoteId ? (
      <a href={paths.file(entry.photoNoteId)}>
        <img
          src={`${paths.file(entry.photoNoteId)}/small`}
          alt={attributeText(entry.detail || 'Photo, without words')}
          loading="lazy"
          width="180"
        />
      </a>
    ) : (
      ''
    )}
    {putRight === null ? (
      ''
    ) : (
      <p>
        <a href={putRight}>
          Put right<span class="unseen" safe>{`: ${entry.title}`}</span>
        </a>
      </p>
    )}
  </>
)
