import { baselineWords } from '../../domain/baseline/baseline.ts'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Instant } from '../../domain/facts.ts'
import { baselineOf } from '../../standing/baseline.ts'
import { methodWords } from '../../web/method-words.ts'
import { paths } from '../../web/paths.ts'
import { InstantText } from '../../web/when-text.tsx'
import type { VisitPlace } from './place-queries.ts'
import type { VisitRow } from './queries.ts'

type Props = { readonly visit: VisitRow; readonly place: VisitPlace; readonly now: Instant }

/** What stands at the home and what is done there, each one tap away. */
export function AtTheHome({ visit, place, now }: Props): JSX.Element {
  const { propertyId, zone } = visit
  return (
    <section id="at-the-home">
      <h2>At the home</h2>
      <ul class="ruled">
        {place.standing.map(test => (
          <li>
            <p>
              <strong safe>{test.device || methodWords[test.method]}</strong>
              <span safe>{test.where ? ` in ${test.where}` : ''}</span>
              {test.setAt === null ? (
                ''
              ) : (
                <>
                  {', set '}
                  <InstantText at={test.setAt} zone={zone} today={localDayOf(now, zone)} />
                </>
              )}
            </p>
            <p class="acts">
              <a class="button" href={paths.testStep(test.testId, 'pick-up')}>
                Pick it up
              </a>{' '}
              {test.method === 'continuous-monitor' ? (
                <a class="button quiet" href={paths.newImport(propertyId)}>
                  Upload its file
                </a>
              ) : (
                ''
              )}
            </p>
          </li>
        ))}
        {place.systems.map(system => (
          <li>
            <p>
              <strong
                safe
              >{`${system.active ? 'System' : 'Passive pipe'}${system.tag ? ` ${system.tag}` : ''}`}</strong>
              <span safe>{system.fan ? `, fan ${system.fan}` : ''}</span>
              <span safe>
                {system.baseline ? `, the gauge stood at ${baselineWords(baselineOf(system.baseline, zone))}` : ''}
              </span>
            </p>
            <p class="acts">
              <a class="button" href={paths.systemGauge(system.id)}>
                Read the gauge
              </a>{' '}
              <a class="button quiet" href={paths.systemStep(system.id, 'baseline')}>
                Adopt a baseline
              </a>{' '}
              {system.active ? (
                ''
              ) : (
                <>
                  <a class="button quiet" href={paths.systemStep(system.id, 'fan')}>
                    Put in a fan
                  </a>{' '}
                </>
              )}
              <a class="button quiet" href={paths.system(system.id)}>
                Its record
              </a>
            </p>
          </li>
        ))}
        <li>
          <p class="acts">
            <a class="button" href={paths.setDevice(propertyId)}>
              Set a device
            </a>{' '}
            <a class="button quiet" href={paths.homeNotes(propertyId)}>
              Photo or note
            </a>
          </p>
        </li>
      </ul>
    </section>
  )
}
