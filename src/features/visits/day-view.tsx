import type { LocalDay } from '../../domain/facts.ts'
import { clockWords } from '../../web/instant-words.ts'
import { List } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { visitPurposeWords } from '../../web/visit-purpose-words.ts'
import { DayText } from '../../web/when-text.tsx'
import type { VisitRow } from './queries.ts'
import { outcomeWords } from './words.ts'

/** A day's visits in order, one line each; yesterday and tomorrow are a link away. */
export const DayView = (props: {
  day: LocalDay
  before: LocalDay
  after: LocalDay
  visits: readonly VisitRow[]
  mine: boolean
  who: string | undefined
}): JSX.Element => (
  <>
    <h1>
      <DayText day={props.day} />
    </h1>
    <ul class="links">
      <li>
        <a href={paths.day({ on: props.before, who: props.who })}>The day before</a>
      </li>
      <li>
        <a href={paths.day({ who: props.who })}>Today</a>
      </li>
      <li>
        <a href={paths.day({ on: props.after, who: props.who })}>The day after</a>
      </li>
      <li>
        <a href={paths.day({ on: props.day, who: props.mine ? 'all' : 'me' })}>
          {props.mine ? 'Everybody’s visits' : 'My visits'}
        </a>
      </li>
    </ul>
    <List
      title={props.mine ? 'My visits' : 'Everybody’s visits'}
      order="in order of the day"
      noun={['visit', 'visits']}
      count={props.visits.length}
      items={props.visits.map(visit => (
        <div class="ledger-line">
          <p class="ledger-day">
            <time datetime={new Date(visit.startsAt).toISOString()} safe>
              {clockWords(visit.startsAt, visit.zone)}
            </time>
            <span safe>{visit.outcome === '' ? '' : ` ${outcomeWords[visit.outcome].toLowerCase()}`}</span>
          </p>
          <p class="ledger-words">
            <a href={paths.home(visit.propertyId)} safe>
              {visit.address}
            </a>
            : <strong safe>{visitPurposeWords[visit.purpose]}</strong>
            <span
              class="light"
              safe
            >{`${visit.instructions ? ` ${visit.instructions}` : ''}${props.mine ? '' : ` (${visit.crew.map(person => person.name).join(', ') || 'nobody yet'})`}`}</span>
          </p>
          <p class="ledger-act">
            <a class="act" href={paths.visit(visit.id)}>
              Open<span class="unseen" safe>{` the visit to ${visit.address}`}</span>
            </a>
          </p>
        </div>
      ))}
      empty={{ text: 'No visit is planned on this day.', href: paths.ledger(), step: 'See what is owed' }}
    />
  </>
)
