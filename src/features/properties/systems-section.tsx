import type { LocalDay } from '../../domain/facts.ts'
import { Empty } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { InstantText } from '../../web/when-text.tsx'
import type { GaugeReading, HomeSystem } from './home-history.ts'
import { spoken } from './words.ts'

type SystemsProps = {
  readonly homeId: string
  readonly systems: readonly HomeSystem[]
  readonly zone: string
  readonly today: LocalDay
}

/** The systems of a home, each with where its gauge stood last. */
export function SystemsSection({ homeId, systems, zone, today }: SystemsProps): JSX.Element {
  return (
    <section id="systems">
      <h2>Systems</h2>
      {systems.length === 0 ? (
        <Empty text="No system is known here." href={paths.newSystem(homeId)} step="Enter one" />
      ) : (
        ''
      )}
      <ul class="ruled">
        {systems.map(system => (
          <li id={`system-${system.id}`}>
            <System system={system} zone={zone} today={today} />
          </li>
        ))}
      </ul>
    </section>
  )
}

function System({
  system,
  zone,
  today,
}: Omit<SystemsProps, 'homeId' | 'systems'> & { system: HomeSystem }): JSX.Element {
  const reading = system.gaugeReadings.findLast(one => one.voidedAt === null)
  const name = [system.tag, spoken(system.type)].filter(Boolean).join(', ')
  const by = system.installedBy === 'us' ? 'by us' : `by ${system.installerName || system.installedBy}`
  return (
    <>
      <p>
        {system.voidedAt === null ? (
          <a href={paths.system(system.id)} safe>
            {name}
          </a>
        ) : (
          <del safe>{name}</del>
        )}
        <span safe>{`, installed ${by}`}</span>
      </p>
      <p class="line">{reading ? <Reading reading={reading} zone={zone} today={today} /> : 'No gauge reading yet.'}</p>
    </>
  )
}

const Reading = ({ reading, zone, today }: { reading: GaugeReading; zone: string; today: LocalDay }): JSX.Element => (
  <>
    <span safe>{`Gauge ${reading.value} ${reading.unit} (${spoken(reading.role).toLowerCase()}), `}</span>
    <InstantText at={reading.at} zone={zone} today={today} />
  </>
)
