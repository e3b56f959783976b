import type { Standing } from '../../domain/answers.ts'
import type { LocalDay } from '../../domain/facts.ts'
import { paths } from '../../web/paths.ts'
import { CallAsk } from './call-ask.tsx'
import { CallAccess, CallPeople, CallUnits } from './call-people.tsx'
import { CallPromised } from './call-promised.tsx'
import { CallStanding } from './call-standing.tsx'
import { CallSystems } from './call-system.tsx'

type Props = Parameters<typeof CallAsk>[0] & { readonly standing: Standing | null; readonly today: LocalDay }

/** A home while somebody is on the phone: who, what stands there, how it stands, what was promised, what to ask. */
export function CallView(props: Props): JSX.Element {
  const { home, standing, today } = props
  return (
    <div class="home call">
      <h1 safe>{[home.street, home.unit].filter(Boolean).join(', ')}</h1>
      <p class="under-title" safe>
        {home.town}
      </p>
      <CallUnits home={home} />
      <div class={props.reported ? 'call-columns asking' : 'call-columns'}>
        <div class="call-who">
          <CallPeople home={home} />
        </div>
        <CallAsk {...props} />
        <div class="call-system">
          <CallSystems home={home} today={today} />
        </div>
        <div class="call-facts">
          <CallStanding standing={standing} today={today} />
          <CallPromised home={home} today={today} />
          <CallAccess home={home} />
          <ul class="links">
            <li>
              <a href={paths.home(home.id)}>The whole home</a>
            </li>
            <li>
              <a href={paths.newVisit(home.id)}>Plan a visit</a>
            </li>
            <li>
              <a href={paths.newTest(home.id)}>Enter a test</a>
            </li>
            <li>
              <a href={paths.homePeople(home.id)}>People around it</a>
            </li>
          </ul>
        </div>
      </div>
    </div>
  )
}
