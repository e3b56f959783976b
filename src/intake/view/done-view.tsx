import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { InstantText } from '../../web/when-text.tsx'
import type { Held } from '../homes-table/made-queries.ts'
import type { ImportBatch, LeftHome } from '../import-rows.ts'

type DoneProps = {
  readonly batch: ImportBatch
  readonly zone: string
  readonly csrf: string
  /** Of a table of homes, whose reminders it holds. */
  readonly held: Held | null
  /** Whether this person may have the file read in another way. */
  readonly mayPutRight: boolean
}

/** An import that was committed or undone: what it made, and how to take it back. */
export function DoneView({ batch, zone, csrf, held, mayPutRight }: DoneProps): JSX.Element {
  const { id, fileName, summary, testId, state, version } = batch
  const at = state === 'undone' ? batch.undoneAt : batch.committedAt
  return (
    <>
      <h1 safe>{`Import ${fileName}`}</h1>
      <p>
        <span>{state === 'undone' ? 'Undone ' : 'Saved '}</span>
        {at === null ? '' : <InstantText at={at} zone={zone} />}
        <span>{summary ? `: ${summary.made} new, ${summary.same} that were there already.` : '.'}</span>
      </p>
      {testId ? (
        <p>
          <a href={paths.test(testId)}>The test it made</a>
        </p>
      ) : (
        ''
      )}
      {summary?.homes ? <HomesDone homes={summary.homes} /> : ''}
      {summary?.left && summary.left.length > 0 ? <LeftHomes left={summary.left} /> : ''}
      {held && held.homes > 0 ? <HeldReminders id={id} csrf={csrf} version={version} held={held} /> : ''}
      {state === 'committed' && mayPutRight && batch.kind !== 'homes-table' ? (
        <p>
          <a href={paths.importStep(id, 'read-again')}>Read it again with another unit, clock or date order</a>
        </p>
      ) : (
        ''
      )}
      {state === 'committed' ? (
        <Form
          action={paths.importStep(id, 'undo')}
          submit="Undo this import"
          busy="Undoing…"
          csrf={csrf}
          version={version}
          grave
        >
          <p>
            {summary?.homes
              ? 'Everything it made is struck through and counts no more; a home you have worked with since stays and is named. The file stays; to have it read otherwise, bring it in anew after this.'
              : 'Everything it made is struck through and counts no more; the file stays.'}
          </p>
        </Form>
      ) : (
        ''
      )}
    </>
  )
}

const HomesDone = ({ homes }: { homes: NonNullable<NonNullable<ImportBatch['summary']>['homes']> }): JSX.Element => (
  <>
    <p safe>
      {`${homes.fresh} homes taken up, ${homes.added} added to${homes.filled > 0 ? ` (of ${homes.filled} the year built or the foundation was filled in)` : ''}, with ${homes.people} people, ${homes.systems} systems, ${homes.tests} tests and ${homes.notes} notes.`}
    </p>
    <p>
      <a href={paths.missing()}>What is missing, home by home, to fill in at the next visit</a>
    </p>
  </>
)

const LeftHomes = ({ left }: { left: readonly LeftHome[] }): JSX.Element => (
  <section>
    <h2 safe>{`${left.length} ${left.length === 1 ? 'home' : 'homes'} stay as they are`}</h2>
    <ul class="ruled">
      {left.map(({ propertyId, address, why }) => (
        <li>
          <a href={paths.home(propertyId)} safe>
            {address}
          </a>
          <span safe>{`: ${why}`}</span>
        </li>
      ))}
    </ul>
  </section>
)

const HeldReminders = ({
  id,
  csrf,
  version,
  held,
}: Pick<DoneProps, 'csrf'> & { id: string; version: number; held: Held }): JSX.Element => (
  <section>
    <h2>Reminders are held</h2>
    <p safe>
      {`No reminder goes out of the ${held.homes} homes this import wrote to. Released, ${held.dueNow} of them would be reminded at once, ${held.byMail} of these by mail; the daily cap holds.`}
    </p>
    <Form action={paths.importStep(id, 'release')} submit="Release their reminders" csrf={csrf} version={version}>
      <p>Look first: the ledger and the homes show what each owes, and why.</p>
    </Form>
  </section>
)
