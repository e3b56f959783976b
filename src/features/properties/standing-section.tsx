import type { Obligation, Standing } from '../../domain/answers.ts'
import type { LocalDay } from '../../domain/facts.ts'
import { Empty } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { QuantityText } from '../../web/quantity-text.tsx'
import { Table, Text } from '../../web/table.tsx'
import { VerdictMark } from '../../web/verdict-mark.tsx'
import { DueDay } from '../../web/when-text.tsx'
import { WorkingView } from '../../web/working-view.tsx'
import { spoken } from './words.ts'

type Shown = { readonly standing: Standing; readonly today: LocalDay; readonly beingRecomputed: boolean }

/** How the home stands: the verdict in words, what would settle it, each tested location, and the working. */
export function StandingSection({ standing, today, beingRecomputed }: Shown): JSX.Element {
  const { verdict } = standing
  return (
    <section class="standing" id="standing">
      <h2>How it stands</h2>
      {beingRecomputed ? <p class="message">Being recomputed since a rule or a calibration changed.</p> : ''}
      <p class="verdict-line">
        <VerdictMark {...verdict} />
      </p>
      {verdict.settledBy === null ? '' : <p safe>{verdict.settledBy}</p>}
      {verdict.perLocation.length > 0 ? <PerLocation verdict={verdict} /> : ''}
      <WorkingView working={verdict.working} />
      <p class="small">
        Each tested location; judged by the rules of{' '}
        <a href={paths.rule(standing.owedBy.code, standing.owedBy.from)} safe>
          {standing.owedBy.code}
        </a>
      </p>
      <Owed obligations={standing.obligations} today={today} homeId={standing.propertyId} />
    </section>
  )
}

const PerLocation = ({ verdict }: Pick<Standing, 'verdict'>): JSX.Element => (
  <Table
    caption="What was compared with the level, for each tested location"
    quietCaption
    columns={[{ words: 'Location' }, { words: 'Compared', numeric: true }, { words: 'Outcome' }]}
    rows={verdict.perLocation.map(place => [
      <Text of={place.locationName} />,
      <QuantityText value={place.compared.value} unit={place.compared.unit} />,
      <VerdictMark outcome={place.outcome} reason={null} level={verdict.level} short />,
    ])}
  />
)

type OwedProps = { readonly obligations: readonly Obligation[]; readonly today: LocalDay; readonly homeId: string }

function Owed({ obligations, today, homeId }: OwedProps): JSX.Element {
  return (
    <section class="owed">
      <h3>What is owed</h3>
      {obligations.length === 0 ? <Empty text="Nothing is owed for this home." /> : ''}
      <ul class="ruled">
        {obligations.map(obligation => (
          <li>
            <p>
              <strong safe>{spoken(obligation.kind)}</strong> <DueDay day={obligation.dueOn} today={today} />
              {obligation.recommended ? ' (recommended)' : ''}, by the {obligation.owedBy}
              {': '}
              <a href={paths.newTest(homeId)}>Enter a test</a>
            </p>
            {obligation.because.map(reason => (
              <p class="because" safe>
                {reason.text}
              </p>
            ))}
            <WorkingView working={obligation.working} />
          </li>
        ))}
      </ul>
    </section>
  )
}
