import type { LocalDay } from '../../domain/facts.ts'
import { Form } from '../../web/form.tsx'
import { Empty } from '../../web/list.tsx'
import { owedWords } from '../../web/owed-words.ts'
import { paths } from '../../web/paths.ts'
import { Table } from '../../web/table.tsx'
import type { DueToday, HeldByImport, Release } from './outbox-queries.ts'

type TodayProps = {
  readonly due: readonly DueToday[]
  readonly release: Release
  readonly held: readonly HeldByImport[]
  readonly today: LocalDay
  readonly csrf: string
  readonly formKey: string
  /** Releasing and pausing is the owner's. */
  readonly mayRelease: boolean
}

/** What would go out today and to whom, before anything does; reminders are released or paused here. */
export function TodayMailsView({ due, release, held, today, csrf, formKey, mayRelease }: TodayProps): JSX.Element {
  const released = release.releasedAt !== null
  const reached = due.filter(line => line.email !== null)
  const people = new Set(reached.map(line => line.email)).size
  return (
    <>
      <h1>What would go out today</h1>
      <p safe>
        {released
          ? `Reminders are released: at most ${release.cap} mails a day.`
          : `Reminders are paused: nothing goes out. Released, at most ${release.cap} mails a day go out, those waiting longest first.`}
      </p>
      <p
        safe
      >{`${reached.length} reminders to ${people} people; ${due.length - reached.length} that no mail can reach.`}</p>
      {held.map(({ importId, fileName, homes }) => (
        <p>
          <span safe>{`Not among them: ${homes} homes of the import `}</span>
          <a href={paths.import(importId)} safe>
            {fileName}
          </a>
          , whose reminders are held until somebody has looked and released them there.
        </p>
      ))}
      {mayRelease ? (
        <Form
          action={paths.outboxToday()}
          submit={released ? 'Pause reminders' : 'Release reminders'}
          csrf={csrf}
          idempotencyKey={formKey}
          version={release.version}
        >
          <input type="hidden" name="released" value={released ? 'no' : 'yes'} />
        </Form>
      ) : (
        <p>Only an owner of the company releases and pauses them.</p>
      )}
      {due.length === 0 ? (
        <Empty
          text="Nothing is due to be reminded of today. Tests and retests that homeowners owe stand here from thirty days before they are due."
          href={paths.ledger()}
          step="See what is owed"
        />
      ) : (
        <Table
          caption={`${due.length} reminders, those waiting longest first`}
          columns={[{ words: 'Home' }, { words: 'What' }, { words: 'Owner' }, { words: 'Mail address' }]}
          rows={due.map(line => [
            <a href={paths.home(line.propertyId)} safe>
              {line.address}
            </a>,
            <span safe>{owedWords({ ...line, recommended: false, because: [] }, today)}</span>,
            <span safe>{line.owner ?? 'not known'}</span>,
            <span safe>{line.email ?? 'none that can be used'}</span>,
          ])}
        />
      )}
    </>
  )
}
