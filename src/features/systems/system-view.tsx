import { againstBaselineWords, baselineWords } from '../../domain/baseline/baseline.ts'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Instant } from '../../domain/facts.ts'
import { baselineOf } from '../../standing/baseline.ts'
import { Empty } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { Table, Text } from '../../web/table.tsx'
import { InstantText, WhenText } from '../../web/when-text.tsx'
import { additionTitles } from './addition-forms.tsx'
import { type BaselineStep, baselineTitles } from './baseline-forms.tsx'
import type { SystemHome } from './page-queries.ts'
import { additions } from './read-system-form.ts'
import type { SystemRow } from './rows.ts'
import { componentWords, eventWords, gaugeRoleWords, installedByWords, typeWords } from './words.ts'

type Props = {
  readonly system: SystemRow
  readonly home: SystemHome
  readonly now: Instant
  /** Whether this person may take an adopted baseline back. */
  readonly mayUndo: boolean
}

/** A system: what it is made of, since when, what happened to it, what its gauge has shown. */
export function SystemView({ system, home, now, mayUndo }: Props): JSX.Element {
  const today = localDayOf(now, home.zone)
  const steps: BaselineStep[] = [
    'baseline',
    ...(mayUndo && system.baseline?.role === 'adopted' ? (['baseline-undo'] as const) : []),
    ...(system.active ? [] : (['fan'] as const)),
  ]
  return (
    <>
      <p class="above">
        <a href={paths.home(home.id)} safe>
          {home.address}
        </a>
      </p>
      <h1 safe>{system.tag ? `${typeWords[system.type]}, tag ${system.tag}` : typeWords[system.type]}</h1>
      {system.voidedAt === null ? (
        ''
      ) : (
        <p class="note" safe>{`Voided: ${system.voidReason ?? ''}. It counts for nothing.`}</p>
      )}
      <p safe>
        {`${system.active ? 'Driven by a fan' : 'A passive pipe'}; installed by ${installedByWords[system.installedBy]}${system.installerName ? ` (${system.installerName})` : ''}.`}
      </p>
      <p>
        <BaselineSentence system={system} home={home} today={today} />
      </p>
      <ul class="links">
        {additions.map(kind => (
          <li>
            <a href={paths.systemStep(system.id, kind)} safe>
              {additionTitles[kind]}
            </a>
          </li>
        ))}
        {steps.map(step => (
          <li>
            <a href={paths.systemStep(system.id, step)} safe>
              {baselineTitles[step]}
            </a>
          </li>
        ))}
        <li>
          {mayUndo ? (
            <a href={paths.putRight('system', system.id)}>Put right: it belongs elsewhere, or should not count</a>
          ) : (
            <a href={paths.systemStep(system.id, 'void')}>Void this system</a>
          )}
        </li>
      </ul>
      <Parts system={system} home={home} today={today} />
      <Events system={system} home={home} today={today} />
      <Gauge system={system} home={home} today={today} />
      {system.note ? <p safe>{system.note}</p> : ''}
    </>
  )
}

type Dated = { readonly system: SystemRow; readonly home: SystemHome; readonly today: string }

/** What later readings are held against, where it comes from, and how the last one stands to it. */
function BaselineSentence({ system, home, today }: Dated): JSX.Element {
  const row = system.baseline
  if (!row)
    return <span class="unknown">No start-up value is on record: a reading of the gauge can not be judged yet.</span>
  const baseline = baselineOf(row, home.zone)
  const last = system.gaugeReadings.findLast(({ role, at }) => role !== 'start-up' && role !== 'adopted' && at > row.at)
  return (
    <>
      <strong safe>{`The gauge stood at ${baselineWords(baseline)}.`}</strong>
      {row.role === 'adopted' && row.note ? <span safe>{` Why: ${row.note.replace(/\.?$/, '.')}`}</span> : ''}
      {last ? (
        <>
          <br />
          <span safe>{`Last read ${last.value} ${last.unit}, `}</span>
          <InstantText at={last.at} zone={home.zone} today={today} />
          <span safe>{`; ${againstBaselineWords(baseline, last)}.`}</span>
        </>
      ) : (
        ''
      )}
    </>
  )
}

const Parts = ({ system, home, today }: Dated): JSX.Element => (
  <section>
    <h2>Parts</h2>
    {system.components.length + system.suctionPoints.length === 0 ? (
      <Empty text="No part is on record." href={paths.systemStep(system.id, 'component')} step="Add a part" />
    ) : (
      <Table
        caption="Parts with their days"
        quietCaption
        columns={['Part', 'Model', 'Serial or lot', 'Where', 'In', 'Out'].map(words => ({ words }))}
        rows={[
          ...system.components.map(part => [
            <Text of={componentWords[part.kind]} />,
            <Text of={part.model || 'not known'} />,
            <Text of={part.serial || part.lot || 'not known'} />,
            <Text of={part.place} />,
            <WhenText when={part.installed} zone={home.zone} today={today} />,
            part.removed ? <WhenText when={part.removed} zone={home.zone} today={today} /> : <Text of="in place" />,
          ]),
          ...system.suctionPoints.map(point => [
            <Text of="Suction point" />,
            <Text of={point.name} />,
            <Text of="" />,
            <Text of={home.areas.find(area => area.id === point.foundationAreaId)?.name ?? ''} />,
            <WhenText when={{ at: point.since, edtf: null }} zone={home.zone} today={today} />,
            point.until === null ? (
              <Text of="in place" />
            ) : (
              <InstantText at={point.until} zone={home.zone} today={today} />
            ),
          ]),
        ]}
      />
    )}
  </section>
)

const Events = ({ system, home, today }: Dated): JSX.Element => (
  <section>
    <h2>What happened to it</h2>
    {system.events.length === 0 ? (
      <Empty
        text="Nothing is on record: not even its first start."
        href={paths.systemStep(system.id, 'event')}
        step="Record its first start"
      />
    ) : (
      <Table
        caption="Dated events"
        quietCaption
        columns={[{ words: 'When' }, { words: 'What' }, { words: 'Note' }]}
        rows={system.events.map(event => [
          <WhenText when={event.when} zone={home.zone} today={today} />,
          <Text of={eventWords[event.kind]} />,
          <Text of={event.note} />,
        ])}
      />
    )}
  </section>
)

// One adopted before stays on record, and says that it holds no more.
const roleOf = ({ id, role }: SystemRow['gaugeReadings'][number], baseline: SystemRow['baseline']): string =>
  role === 'adopted' && baseline?.id !== id ? 'adopted, replaced since' : gaugeRoleWords[role]

const Gauge = ({ system, home, today }: Dated): JSX.Element => (
  <section>
    <h2>The gauge</h2>
    <p class="hint">The gauge shows pressure, never radon.</p>
    {system.gaugeReadings.length === 0 ? (
      <Empty text="No reading is on record." href={paths.systemStep(system.id, 'gauge')} step="Read the gauge" />
    ) : (
      <Table
        caption="Gauge readings"
        quietCaption
        columns={[{ words: 'When' }, { words: 'Reading', numeric: true }, { words: 'Read' }, { words: 'By' }]}
        rows={system.gaugeReadings.map(reading => [
          <InstantText at={reading.at} zone={home.zone} today={today} />,
          <Text of={`${reading.value} ${reading.unit}`} />,
          <Text of={roleOf(reading, system.baseline)} />,
          <Text of={reading.readBy} />,
        ])}
      />
    )}
  </section>
)
