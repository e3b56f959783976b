import type { EvaluatedTest, ExposureAnswer, LevelRef } from '../../domain/answers.ts'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Instant } from '../../domain/facts.ts'
import { RecordChart } from '../../web/chart/record-chart.tsx'
import { FindingList } from '../../web/finding-list.tsx'
import { Form } from '../../web/form.tsx'
import { methodWords } from '../../web/method-words.ts'
import { paths } from '../../web/paths.ts'
import { purposeWords } from '../../web/purpose-words.ts'
import { VerdictMark } from '../../web/verdict-mark.tsx'
import { InstantText } from '../../web/when-text.tsx'
import { WorkingView } from '../../web/working-view.tsx'
import type { Attempt } from './attempt-queries.ts'
import { Attempts } from './attempts-view.tsx'
import type { SeriesRow } from './exposure-queries.ts'
import { Measured } from './measured-view.tsx'
import type { TestDevice } from './page-queries.ts'
import type { TestRow } from './rows.ts'
import { sourceWords, stageWords, validityWords } from './words.ts'

export type TestViewProps = {
  readonly test: TestRow
  readonly address: string
  readonly evaluated: EvaluatedTest | null
  readonly level: LevelRef | null
  readonly series: readonly SeriesRow[]
  readonly devices: readonly TestDevice[]
  /** The post-mitigation tests of the same system, this one among them. */
  readonly attempts: readonly Attempt[]
  readonly now: Instant
  readonly csrf: string
  readonly mayAccept: boolean
  /** Whom the office may send the result to. */
  readonly receivers: readonly { readonly id: string; readonly name: string }[]
  /** Makes the result's mail go out once, however often the button is pressed. */
  readonly formKey: string
}

/** A test: what it says, why, what was measured where, what is left to do. */
export function TestView(props: TestViewProps): JSX.Element {
  const { test, address, evaluated, level } = props
  return (
    <>
      <p class="above">
        <a href={paths.home(test.propertyId)} safe>
          {address}
        </a>
      </p>
      <h1 safe>{`${purposeWords[test.purpose]}, ${methodWords[test.method]}`}</h1>
      {test.voidedAt === null ? (
        ''
      ) : (
        <p class="note" safe>{`Voided: ${test.voidReason ?? ''}. It counts for nothing.`}</p>
      )}
      {evaluated && test.voidedAt === null ? <Judged evaluated={evaluated} level={level} zone={test.zone} /> : ''}
      {test.voidedAt === null ? <NextSteps {...props} /> : ''}
      <Measured {...props} />
      <Attempts attempts={props.attempts} testId={test.id} zone={test.zone} />
      <Charts {...props} />
      <Facts test={test} now={props.now} />
    </>
  )
}

const Judged = ({
  evaluated,
  level,
  zone,
}: {
  evaluated: EvaluatedTest
  level: LevelRef | null
  zone: string
}): JSX.Element => (
  <section>
    <h2>What it says</h2>
    <p safe>
      {[stageWords[evaluated.stage], evaluated.validity ? validityWords[evaluated.validity] : '']
        .filter(Boolean)
        .join(', ')}
    </p>
    {evaluated.outcome ? (
      <p>
        <VerdictMark outcome={evaluated.outcome} reason={null} level={level} />
      </p>
    ) : (
      ''
    )}
    {evaluated.findings.length > 0 ? <FindingList findings={evaluated.findings} zone={zone} /> : ''}
    {evaluated.workings.map(working => (
      <WorkingView working={working} />
    ))}
  </section>
)

function NextSteps({ test, evaluated, csrf, mayAccept, receivers, formKey }: TestViewProps): JSX.Element {
  const stage = evaluated?.stage ?? 'planned'
  // A monitor keeps its own record; every other device goes to a laboratory.
  const recording = test.method === 'continuous-monitor'
  const upload = { href: paths.newImport(test.propertyId), words: 'Import a monitor file' }
  const steps = [
    stage === 'set' || stage === 'planned'
      ? { href: paths.testStep(test.id, 'pick-up'), words: 'Pick up the device' }
      : null,
    stage === 'picked-up' && !recording
      ? { href: paths.testStep(test.id, 'laboratory'), words: 'Send to the laboratory' }
      : null,
    stage === 'picked-up' && recording ? upload : null,
    {
      href: paths.testStep(test.id, 'results'),
      words: stage === 'result-in' ? 'Replace a result' : 'Enter the results',
    },
    stage === 'picked-up' && recording ? null : upload,
    mayAccept
      ? { href: paths.putRight('test', test.id), words: 'Put right: it belongs elsewhere, or should not count' }
      : { href: paths.testStep(test.id, 'void'), words: 'Void this test' },
  ].filter(step => step !== null)
  return (
    <section class="steps">
      {stage === 'result-in' && test.acceptedAt === null && mayAccept ? (
        <Form
          action={paths.testStep(test.id, 'acceptance')}
          submit="Accept the result"
          csrf={csrf}
          version={test.version}
        />
      ) : (
        ''
      )}
      {stage === 'result-in' && test.acceptedAt !== null && mayAccept
        ? receivers.map(({ id, name }, index) => (
            <Form
              action={paths.testStep(test.id, 'mail-result')}
              submit={`Mail the result to ${name}`}
              csrf={csrf}
              idempotencyKey={index === 0 ? formKey : `${formKey}-${index}`}
            >
              <input type="hidden" name="to" value={id} />
            </Form>
          ))
        : ''}
      <ul class="links">
        {steps.map(({ href, words }) => (
          <li>
            <a href={href} safe>
              {words}
            </a>
          </li>
        ))}
      </ul>
    </section>
  )
}

function Charts({ test, evaluated, level, series }: TestViewProps): JSX.Element {
  const answers = new Map((evaluated?.exposures ?? []).map(answer => [answer.exposureId, answer]))
  return (
    <>
      {series.map((record, index) => {
        const answer = answers.get(record.exposureId)
        const facts = {
          series: record as Parameters<typeof RecordChart>[0]['facts']['series'],
          zone: test.zone,
          room: answer?.locationName ?? '',
          level,
          rule: null,
          leftOut: answer?.leftOut ?? [],
          mean: meanOf(answer),
          usableFrom: answer?.usableFrom ?? null,
          usableTo: answer?.usableTo ?? null,
        }
        return (
          <section>
            <h2 safe>{`The record: ${facts.room}`}</h2>
            <RecordChart facts={facts} id={`record-${index}`} />
          </section>
        )
      })}
    </>
  )
}

const meanOf = (answer: ExposureAnswer | undefined) =>
  answer?.fromSeries && answer.result ? answer.result.value : null

function Facts({ test, now }: { test: TestRow; now: Instant }): JSX.Element {
  const today = localDayOf(now, test.zone)
  const moments = [
    ['Device set', test.setAt, test.setBy],
    ['Closed since', test.closedSince, ''],
    ['Picked up', test.pickedUpAt, test.pickedUpBy],
    ['Sent to the laboratory', test.sentToLabAt, test.laboratory],
    ['Result in', test.resultInAt, sourceWords[test.source]],
    ['Accepted', test.acceptedAt, ''],
  ] as const
  const conditions = [
    ['Kept closed', test.closedDuring],
    ['System running', test.systemRunning],
    ['Severe weather', test.severeWeather],
    ['Tampering', test.tampering],
  ] as const
  return (
    <section>
      <h2>How it was done</h2>
      <dl class="pair">
        {moments.map(([label, at, by]) => (
          <div>
            <dt safe>{label}</dt>
            <dd>
              {at === null ? (
                <span class="unknown">not recorded</span>
              ) : (
                <InstantText at={at} zone={test.zone} today={today} />
              )}
              {by ? <span safe>{`, ${by}`}</span> : ''}
            </dd>
          </div>
        ))}
        {conditions.map(([label, said]) => (
          <div>
            <dt safe>{label}</dt>
            <dd safe>{said === 'unknown' ? 'not known' : said}</dd>
          </div>
        ))}
      </dl>
      {test.conditionsNote ? <p safe>{test.conditionsNote}</p> : ''}
    </section>
  )
}
