import { againstBaselineWords, baselineWords } from '../../domain/baseline/baseline.ts'
import type { LocalDay } from '../../domain/facts.ts'
import { ageWords, fanAgeOn } from '../../domain/first-questions/fan-age.ts'
import { baselineOf } from '../../standing/baseline.ts'
import { paths } from '../../web/paths.ts'
import { InstantText, WhenText } from '../../web/when-text.tsx'
import type { CallHome, CallSystem } from './call-queries.ts'

type Props = { readonly home: CallHome; readonly today: LocalDay }

/** Each system: the fan and its age, what the gauge is held against, and what is known of who stands for it. */
export const CallSystems = ({ home, today }: Props): JSX.Element => (
  <section id="systems">
    <h2>{home.systems.length > 1 ? 'The systems' : 'The system'}</h2>
    {home.systems.length === 0 ? <p class="empty">No system is on record for this home.</p> : ''}
    {home.systems.map(system => (
      <System system={system} zone={home.zone} today={today} />
    ))}
  </section>
)

type One = { readonly system: CallSystem; readonly zone: string; readonly today: LocalDay }

const System = ({ system, zone, today }: One): JSX.Element => (
  <>
    <p>
      <a href={paths.system(system.id)} safe>
        {systemName(system)}
      </a>
    </p>
    <dl class="pair">
      <div>
        <dt>Fan</dt>
        <dd>
          <Fan system={system} zone={zone} today={today} />
        </dd>
      </div>
      <div>
        <dt>Gauge</dt>
        <dd>
          <Gauge system={system} zone={zone} today={today} />
        </dd>
      </div>
      <div>
        <dt>Coverage</dt>
        <dd>
          <Coverage system={system} zone={zone} today={today} />
        </dd>
      </div>
    </dl>
  </>
)

// What the trade writes with a hyphen.
const hyphened = /^(sub|drain|block|heat)-/

/** `Sub-slab suction, tag UL-4006`. */
export function systemName({ type, tag }: Pick<CallSystem, 'type' | 'tag'>): string {
  const [, first] = hyphened.exec(type) ?? []
  const words = (first ? `${first}-` : '') + type.replace(hyphened, '').replaceAll('-', ' ')
  const name = words.charAt(0).toUpperCase() + words.slice(1)
  return tag ? `${name}, tag ${tag}` : name
}

function Fan({ system: { fan, active }, zone, today }: One): JSX.Element {
  if (!fan)
    return (
      <span class="unknown">
        {active ? 'none on record, though the system is driven by one' : 'none: a passive pipe'}
      </span>
    )
  const age = fanAgeOn(today, fan.installed, zone)
  return (
    <>
      <strong safe>{age ? ageWords(age) : 'age not known'}</strong>
      <span safe>{`, ${[fan.model || 'model not known', fan.place].filter(Boolean).join(', ')}, in since `}</span>
      <WhenText when={fan.installed} zone={zone} today={today} />
    </>
  )
}

function Gauge({ system: { baseline: row, last, gauge }, zone, today }: One): JSX.Element {
  const baseline = row && baselineOf(row, zone)
  return (
    <>
      {row && baseline ? (
        <>
          <strong safe>{baselineWords(baseline)}</strong>
          <span safe>{row.readBy ? `, read by ${row.readBy}, ` : ', who read it is not known, '}</span>
          <InstantText at={row.at} zone={zone} today={today} />
        </>
      ) : (
        <span class="unknown">{gauge ? 'start-up value not known' : 'none on record'}</span>
      )}
      {last ? (
        <>
          <br />
          <span safe>{`last read ${last.value} ${last.unit}, `}</span>
          <InstantText at={last.at} zone={zone} today={today} />
          {baseline ? <span safe>{`; ${againstBaselineWords(baseline, last)}`}</span> : ''}
        </>
      ) : (
        ''
      )}
    </>
  )
}

const installers: Readonly<Record<string, string>> = {
  us: 'us',
  another: 'another company',
  builder: 'the builder',
  owner: 'an owner',
}

function Coverage({ system: { installedBy, installerName, firstStart }, zone, today }: One): JSX.Element {
  const by = installerName || installers[installedBy]
  return (
    <>
      <span safe>{by ? `Installed by ${by}` : 'Who installed it is not known'}</span>
      {', '}
      {firstStart ? (
        <>
          {'running since '}
          <WhenText when={firstStart} zone={zone} today={today} />
        </>
      ) : (
        'first start not known'
      )}
      {'. '}
      <span class="unknown">No warranty terms are on record, so what is still covered is not known.</span>
    </>
  )
}
