import type { LocalDay } from '../../domain/facts.ts'
import { paths } from '../../web/paths.ts'
import { isVisitPurpose, visitPurposeWords } from '../../web/visit-purpose-words.ts'
import { InstantText } from '../../web/when-text.tsx'
import type { CallHome } from './call-queries.ts'
import { complaintWords } from './words.ts'

type Props = { readonly home: CallHome; readonly today: LocalDay }

const wishWords: Readonly<Record<string, string>> = {
  'visit-request': 'asked for a visit',
  'own-result': 'sent a result of their own',
  'gauge-reading': 'sent a gauge reading',
  alarm: 'said that the alarm sounds',
  moved: 'said that the home changed hands',
}

/** What the home waits for from us: callbacks that are open, visits that are planned, wishes nobody has taken up. */
export function CallPromised({ home, today }: Props): JSX.Element {
  const { open, visits, wishes, zone } = home
  const none = open.length + visits.length + wishes.length === 0
  return (
    <section id="promised">
      <h2>Promised and open</h2>
      {none ? <p class="empty">No callback is open, no visit is planned, no wish waits.</p> : ''}
      <ul class="ruled">
        {open.map(callback => (
          <li>
            <a href={paths.callback(callback.id)} safe>
              {`Callback no. ${callback.number}: ${complaintWords[callback.complaint].toLowerCase()}`}
            </a>
            {', open since '}
            <InstantText at={callback.reportedAt} zone={zone} today={today} />
            <span safe>{callback.reportedBy ? `, reported by ${callback.reportedBy}` : ''}</span>
            {callback.description ? (
              <p class="said small" safe>
                {callback.description}
              </p>
            ) : (
              ''
            )}
          </li>
        ))}
        {visits.map(visit => (
          <li>
            <a href={paths.visit(visit.id)} safe>
              {`Visit: ${isVisitPurpose(visit.purpose) ? visitPurposeWords[visit.purpose].toLowerCase() : visit.purpose}`}
            </a>
            {', '}
            <InstantText at={visit.startsAt} zone={zone} today={today} />
            <span safe>{visit.crew.length ? `, ${visit.crew.join(' and ')}` : ', nobody assigned yet'}</span>
            {visit.instructions ? (
              <p class="said small" safe>
                {visit.instructions}
              </p>
            ) : (
              ''
            )}
          </li>
        ))}
        {wishes.map(wish => (
          <li>
            <a href={paths.report(wish.id)} safe>
              {`The homeowner ${wishWords[wish.kind] ?? 'sent something'}`}
            </a>
            {', '}
            <InstantText at={wish.receivedAt} zone={zone} today={today} />
            {', not taken up yet'}
          </li>
        ))}
      </ul>
    </section>
  )
}
