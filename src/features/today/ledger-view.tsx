import type { Children } from '@kitajs/html'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Instant } from '../../domain/facts.ts'
import { List } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { purposeWords } from '../../web/purpose-words.ts'
import { DueDay, InstantText } from '../../web/when-text.tsx'
import { ExpiringCredentials } from './expiring-credentials.tsx'
import type {
  CallbackLine,
  CredentialLine,
  FailedMailLine,
  OwedLine,
  ReportLine,
  ReviewLine,
  UnassignedLine,
} from './queries.ts'
import { complaintWords, dutyOf, outcomeWords, remindedWords, reportWords } from './words.ts'

export type Ledger = {
  readonly owed: readonly OwedLine[]
  readonly toReview: readonly ReviewLine[]
  readonly callbacks: readonly CallbackLine[]
  readonly reports: readonly ReportLine[]
  readonly unassigned: readonly UnassignedLine[]
  readonly failedMails: readonly FailedMailLine[]
  readonly credentials: readonly CredentialLine[]
  readonly recomputing: boolean
  /** Monitors and kits that somebody has to run after. */
  readonly toChase: number
}

type Said = { readonly ledger: Ledger; readonly now: Instant; readonly zone: string }

/** Everything that is owed, each line a sentence: where, whose, what, why, until when, and the one thing to do. */
export function LedgerView({ ledger, now, zone }: Said): JSX.Element {
  const { owed, toReview, callbacks, reports, unassigned, failedMails, credentials } = ledger
  return (
    <>
      <h1>Ledger</h1>
      {ledger.recomputing ? (
        <p class="note">Some standings are being worked out anew; their lines may still change.</p>
      ) : (
        ''
      )}
      {ledger.toChase > 0 ? (
        <p>
          <a href={paths.chase()} safe>
            {ledger.toChase === 1 ? 'One device to chase' : `${ledger.toChase} devices to chase`}
          </a>
        </p>
      ) : (
        ''
      )}
      {reports.length > 0 ? <Reports lines={reports} now={now} /> : ''}
      {callbacks.length > 0 ? <Callbacks lines={callbacks} now={now} /> : ''}
      {unassigned.length > 0 ? <Unassigned lines={unassigned} now={now} /> : ''}
      {toReview.length > 0 ? <Reviews lines={toReview} now={now} /> : ''}
      {credentials.length > 0 ? <ExpiringCredentials lines={credentials} today={localDayOf(now, zone)} /> : ''}
      <List
        id="owed"
        title="Owed"
        order="soonest first"
        noun={['line', 'lines']}
        count={owed.length}
        items={owed.map(line => <Owed line={line} now={now} />)}
        empty={{
          text: 'Nothing is owed in the next sixty days. Retests, tests, devices to pick up and open work stand here.',
          href: paths.newHome(),
          step: 'Record a home',
        }}
      />
      {failedMails.length > 0 ? <FailedMails lines={failedMails} now={now} zone={zone} /> : ''}
    </>
  )
}

const Line = (props: {
  due: Children
  home: Home
  what: Children
  rest?: Children
  act: string
  href: string
}): JSX.Element => (
  <div class="ledger-line">
    <p class="ledger-day">{props.due}</p>
    <p class="ledger-words">
      <a href={paths.home(props.home.propertyId)} safe>
        {props.home.address}
      </a>
      {props.home.owner ? (
        <span class="light" safe>
          {`, ${props.home.owner}`}
        </span>
      ) : (
        ''
      )}
      : {props.what} <span class="light">{props.rest ?? ''}</span>
    </p>
    <p class="ledger-act">
      <a class="act" href={props.href}>
        <span safe>{props.act}</span>
        <span class="unseen" safe>{`: ${props.home.address}`}</span>
      </a>
    </p>
  </div>
)
type Home = {
  readonly propertyId: string
  readonly address: string
  readonly owner: string | null
  readonly zone: string
}

function Owed({ line, now }: { line: OwedLine; now: Instant }): JSX.Element {
  const duty = dutyOf(line)
  const today = localDayOf(now, line.zone)
  const planned = line.plannedVisitAt
  return (
    <Line
      due={<DueDay day={line.dueOn} today={today} />}
      home={line}
      what={<strong safe>{line.recommended ? `${duty.what} (recommended)` : duty.what}</strong>}
      rest={
        <>
          <span safe>{line.because[0] ? `because ${lowerFirst(line.because[0].text)}` : ''}</span>
          {planned === null ? '' : <Planned at={planned} zone={line.zone} />}
          {line.reminded ? <span safe>{`; ${remindedWords[line.reminded.state] ?? line.reminded.state}`}</span> : ''}
        </>
      }
      act={planned === null ? duty.act : 'Open the home'}
      href={planned === null ? duty.href(line) : paths.home(line.propertyId)}
    />
  )
}

const lowerFirst = (text: string) => text.charAt(0).toLowerCase() + text.slice(1)

const Planned = ({ at, zone }: { at: Instant; zone: string }): JSX.Element => (
  <span>
    ; visit planned <InstantText at={at} zone={zone} />
  </span>
)

const Callbacks = ({ lines, now }: { lines: readonly CallbackLine[]; now: Instant }): JSX.Element => (
  <List
    id="callbacks"
    title="Callbacks open"
    order="longest open first"
    noun={['callback', 'callbacks']}
    count={lines.length}
    items={lines.map(line => (
      <Line
        due={<InstantText at={line.reportedAt} zone={line.zone} today={localDayOf(now, line.zone)} />}
        home={line}
        what={<strong safe>{complaintWords[line.complaint] ?? line.complaint}</strong>}
        rest={
          line.plannedVisitAt === null ? (
            <span>no visit planned</span>
          ) : (
            <Planned at={line.plannedVisitAt} zone={line.zone} />
          )
        }
        act={`Open no. ${line.number}`}
        href={paths.callback(line.callbackId)}
      />
    ))}
    empty={{ text: 'No callback is open.' }}
  />
)

const Reviews = ({ lines, now }: { lines: readonly ReviewLine[]; now: Instant }): JSX.Element => (
  <List
    id="review"
    title="Results to look at"
    order="oldest first"
    noun={['result', 'results']}
    count={lines.length}
    items={lines.map(line => (
      <Line
        due={<InstantText at={line.resultInAt} zone={line.zone} today={localDayOf(now, line.zone)} />}
        home={line}
        what={<strong safe>{`${purposeWords[line.purpose]} is in:`}</strong>}
        rest={<span safe>{outcomeWords[line.outcome] ?? line.outcome.replaceAll('-', ' ')}</span>}
        act="Look and accept"
        href={paths.test(line.testId)}
      />
    ))}
    empty={{ text: 'Every result has been looked at.' }}
  />
)

const Reports = ({ lines, now }: { lines: readonly ReportLine[]; now: Instant }): JSX.Element => (
  <List
    id="reports"
    title="From homeowners"
    order="oldest first"
    noun={['message', 'messages']}
    count={lines.length}
    items={lines.map(line => (
      <Line
        due={<InstantText at={line.receivedAt} zone={line.zone} today={localDayOf(now, line.zone)} />}
        home={line}
        what={<strong safe>{reportWords[line.kind] ?? line.kind}</strong>}
        act="Take it up"
        href={paths.report(line.reportId)}
      />
    ))}
    empty={{ text: 'Nothing new from homeowners.' }}
  />
)

const Unassigned = ({ lines, now }: { lines: readonly UnassignedLine[]; now: Instant }): JSX.Element => (
  <List
    id="unassigned"
    title="Visits nobody goes to yet"
    order="soonest first"
    noun={['visit', 'visits']}
    count={lines.length}
    items={lines.map(line => (
      <Line
        due={<InstantText at={line.startsAt} zone={line.zone} today={localDayOf(now, line.zone)} />}
        home={line}
        what={<strong safe>{line.purpose.replaceAll('-', ' ')}</strong>}
        act="Say who goes"
        href={paths.visitStep(line.visitId, 'change')}
      />
    ))}
    empty={{ text: 'Somebody goes to every visit.' }}
  />
)

const FailedMails = ({
  lines,
  zone,
}: {
  lines: readonly FailedMailLine[]
  now: Instant
  zone: string
}): JSX.Element => (
  <List
    id="failed-mails"
    title="Mails refused"
    order="newest first"
    noun={['mail', 'mails']}
    count={lines.length}
    items={lines.map(line => (
      <div class="ledger-line">
        <p class="ledger-day">
          <InstantText at={line.at} zone={zone} />
        </p>
        <p class="ledger-words">
          <strong safe>{line.toName || line.toAddress}</strong>
          <span class="light" safe>
            {`: ${line.subject}. The server said: ${line.lastReply ?? 'nothing'}`}
          </span>
        </p>
        <p class="ledger-act">
          <a class="act" href={paths.mail(line.mailId)}>
            Open the mail
          </a>
        </p>
      </div>
    ))}
    empty={{ text: 'No mail was refused.' }}
  />
)
