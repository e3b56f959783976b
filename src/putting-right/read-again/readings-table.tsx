import { paths } from '../../web/paths.ts'
import { Table } from '../../web/table.tsx'
import type { ReadingChange } from '../correction-rows.ts'

/** What each result of a file said and what it says when the file is read again; a time that stays stands once. */
export const ReadingsTable = ({ changes }: { readonly changes: readonly ReadingChange[] }): JSX.Element => (
  <Table
    caption="Each result, before and after"
    columns={[{ words: 'Home' }, { words: 'Test' }, { words: 'Before' }, { words: 'After' }]}
    rows={changes.map(change => [
      <a href={paths.home(change.propertyId)} safe>
        {change.home}
      </a>,
      <TestCell change={change} />,
      <SaidCell change={change} at="before" />,
      <SaidCell change={change} at="after" />,
    ])}
  />
)

const staysAtItsTime = ({ period }: ReadingChange): boolean => period.before === period.after

const TestCell = ({ change }: { readonly change: ReadingChange }): JSX.Element => (
  <>
    <p>
      <a href={paths.test(change.testId)} safe>
        {[change.line === null ? '' : `Line ${change.line}`, change.room || 'room not noted', change.of]
          .filter(words => words)
          .join(', ')}
      </a>
    </p>
    {staysAtItsTime(change) ? <p safe>{change.period.before}</p> : ''}
  </>
)

const SaidCell = ({ change, at }: { readonly change: ReadingChange; readonly at: 'before' | 'after' }): JSX.Element => (
  <>
    <p safe>{change.result[at]}</p>
    {staysAtItsTime(change) ? '' : <p safe>{change.period[at]}</p>}
  </>
)
