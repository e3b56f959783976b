import type { LocalDay } from '../../domain/facts.ts'
import { choicesFrom, SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { DateField, Field, TimeField } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { halfDayWords } from '../../web/half-day-words.ts'
import { List } from '../../web/list.tsx'
import { methodWords } from '../../web/method-words.ts'
import { MomentFields } from '../../web/moment-fields.tsx'
import { paths } from '../../web/paths.ts'
import { unitWords } from '../../web/quantity-text.tsx'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import { isVisitWish, visitPurposeWords, visitWishWords } from '../../web/visit-purpose-words.ts'
import { InstantText } from '../../web/when-text.tsx'
import type { ReportKind } from './read-report.ts'
import type { Report, ReportState } from './report-queries.ts'

export const kindWords: Record<ReportKind, string> = {
  'visit-request': 'asks for a visit',
  'own-result': 'reports a result of their own',
  'gauge-reading': 'reports what the gauge shows',
  alarm: 'reports an alarm or something wrong',
  moved: 'says that they moved',
}
const stateWords: Record<ReportState, string> = { new: 'To take up', accepted: 'Taken up', dismissed: 'Laid aside' }

/** What homeowners sent, in one state. */
export const ReportsView = (props: {
  state: ReportState
  reports: readonly Report[]
  today: LocalDay
}): JSX.Element => (
  <>
    <h1>What homeowners sent</h1>
    <nav class="states" aria-label="Reports by state">
      <ul>
        {(Object.keys(stateWords) as ReportState[]).map(state => (
          <li>
            <a href={paths.reports({ state })} aria-current={state === props.state ? 'page' : undefined} safe>
              {stateWords[state]}
            </a>
          </li>
        ))}
      </ul>
    </nav>
    <List
      title={stateWords[props.state]}
      order="newest first"
      count={props.reports.length}
      noun={['report', 'reports']}
      items={props.reports.map(report => (
        <p>
          <a href={paths.report(report.id)} safe>
            {`${report.customerName} ${kindWords[report.kind]}`}
          </a>
          <span safe>{`, ${report.address}, `}</span>
          <InstantText at={report.receivedAt} zone={report.zone} today={props.today} />
        </p>
      ))}
      empty={{ text: 'What homeowners send from the page behind their mail stands here.' }}
    />
  </>
)

const labels: Record<string, string> = {
  purpose: 'What for',
  halfDays: 'Suits them',
  note: 'They add',
  value: 'Value',
  unit: 'Unit',
  locationId: 'Room',
  startedOn: 'First day',
  endedOn: 'Last day',
  device: 'Device or laboratory',
  what: 'What',
  since: 'Since',
  on: 'Moved on',
  newOwner: 'New owner',
  newEmail: 'Their mail address',
}

function saidWords(report: Report, name: string, value: unknown): string {
  if (Array.isArray(value)) return value.map(part => halfDayWords(String(part))).join(', ')
  if (name === 'locationId') return report.rooms.find(room => room.id === value)?.name ?? 'another room'
  const text = String(value)
  if (name === 'purpose' && isVisitWish(text)) return visitWishWords[text]
  return unitWords(text).replaceAll('-', name === 'what' ? ' ' : '-')
}

export type ReportProps = {
  readonly report: Report
  readonly today: LocalDay
  readonly csrf: string
  readonly formKey: string
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
}

/** One report as it was sent, and what can be made of it. */
export function ReportView(props: ReportProps): JSX.Element {
  const { report, today, csrf, formKey } = props
  const told = Object.entries(report.body).filter(
    ([name, value]) => labels[name] && value !== null && value !== '' && !(Array.isArray(value) && value.length === 0),
  )
  const step = (name: string, words: string) => (
    <Form
      action={paths.reportStep(report.id, name)}
      submit={words}
      csrf={csrf}
      idempotencyKey={`${formKey}-${name}`}
      version={report.version}
    />
  )
  return (
    <>
      <h1 safe>{`${report.customerName} ${kindWords[report.kind]}`}</h1>
      <p>
        <a href={paths.home(report.propertyId)} safe>
          {report.address}
        </a>
        {', received '}
        <InstantText at={report.receivedAt} zone={report.zone} today={today} />
      </p>
      <p>As they sent it, unverified:</p>
      <dl class="pair">
        {told.map(([name, value]) => (
          <div>
            <dt safe>{labels[name] ?? name}</dt>
            <dd safe>{saidWords(report, name, value)}</dd>
          </div>
        ))}
      </dl>
      {report.state === 'new' ? <AcceptForm {...props} /> : ''}
      {report.state === 'new' ? step('dismiss', 'Lay it aside') : step('reopen', 'Take that back')}
      {report.state === 'accepted' ? <p>What was made of it stays until it is taken out at its own page.</p> : ''}
    </>
  )
}

const acceptWords: Record<ReportKind, string> = {
  'visit-request': 'Plan the visit',
  'own-result': 'Record the test',
  'gauge-reading': 'Record the reading',
  alarm: 'Open a callback',
  moved: 'Change the owner',
}

const AcceptForm = ({ report, csrf, formKey, typed, faults }: ReportProps): JSX.Element => (
  <Form
    action={paths.reportStep(report.id, 'accept')}
    submit={acceptWords[report.kind]}
    csrf={csrf}
    idempotencyKey={`${formKey}-accept`}
    version={report.version}
    faults={faults}
  >
    {report.kind === 'visit-request' ? (
      <>
        <SelectField
          name="purpose"
          label="Purpose"
          value={textIn(typed, 'purpose') || String(report.body.purpose ?? 'other')}
          choices={choicesFrom(visitPurposeWords)}
          faults={faults}
        />
        <DateField name="on" label="Day" value={textIn(typed, 'on')} faults={faults} />
        <TimeField name="on-time" label="Time" value={textIn(typed, 'on-time')} faults={faults} />
      </>
    ) : report.kind === 'own-result' ? (
      <OwnTest typed={{ ...saidOf(report), ...typed }} faults={faults} />
    ) : report.kind === 'moved' ? (
      <>
        <Field
          name="newOwner"
          label="New owner"
          hint="Write Unknown if nobody knows"
          value={textIn(typed, 'newOwner') || String(report.body.newOwner ?? '')}
          faults={faults}
        />
        <Field
          name="newEmail"
          label="Their mail address"
          type="email"
          optional
          value={textIn(typed, 'newEmail') || String(report.body.newEmail ?? '')}
          faults={faults}
        />
      </>
    ) : (
      ''
    )}
  </Form>
)

/** What the office adds to a homeowner's own result: the method, and the start and end as they said them or better. */
const OwnTest = ({ typed, faults }: Pick<ReportProps, 'typed' | 'faults'>): JSX.Element => (
  <>
    <SelectField
      name="method"
      label="Method"
      value={textIn(typed, 'method')}
      choices={choicesFrom(methodWords)}
      faults={faults}
    />
    <MomentFields name="set" label="Start" optional typed={typed} faults={faults} />
    <MomentFields name="picked-up" label="End" optional typed={typed} faults={faults} />
  </>
)

const saidOf = ({ body }: Report): TypedFields => ({
  method: 'unknown',
  set: body.startedOn ?? '',
  'picked-up': body.endedOn ?? '',
})
