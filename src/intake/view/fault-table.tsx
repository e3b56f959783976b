import { Table } from '../../web/table.tsx'
import type { Fault } from '../monitor-file/fault.ts'
import type { RowFault } from '../table/row-fault.ts'

/** Why a file cannot be read, line by line. */
export const FaultTable = ({ faults, count }: { faults: readonly Fault[]; count: number }): JSX.Element => (
  <Table
    caption={
      count > faults.length
        ? `The first ${faults.length} of ${count} faults`
        : `${count} ${count === 1 ? 'fault' : 'faults'}`
    }
    columns={[
      { words: 'Line', numeric: true },
      { words: 'It reads' },
      { words: 'What is wrong' },
      { words: 'What to do' },
    ]}
    rows={faults.map(({ line, content, problem, remedy }) => [
      <span safe>{line === null ? 'file' : String(line)}</span>,
      <code safe>{content}</code>,
      <span safe>{problem}</span>,
      <span safe>{remedy}</span>,
    ])}
  />
)

const SHOWN = 200

/** The bad cells of a table of results. */
export const RowFaultTable = ({ faults }: { faults: readonly RowFault[] }): JSX.Element => (
  <Table
    caption={faults.length > SHOWN ? `The first ${SHOWN} of ${faults.length} bad cells` : 'Bad cells'}
    columns={[
      { words: 'Line', numeric: true },
      { words: 'Column' },
      { words: 'It reads' },
      { words: 'What is wrong' },
      { words: 'What to do' },
    ]}
    rows={faults
      .slice(0, SHOWN)
      .map(({ line, column, value, problem, remedy }) => [
        <span safe>{String(line)}</span>,
        <span safe>{column}</span>,
        <code safe>{value}</code>,
        <span safe>{problem}</span>,
        <span safe>{remedy}</span>,
      ])}
  />
)

/** The first rows, as they stand in the file. */
export function FirstRows({
  names,
  preview,
}: {
  names: readonly string[]
  preview: readonly { readonly line: number; readonly cells: readonly string[] }[]
}): JSX.Element {
  const columns = names.map((name, i) => ({ words: name || `Column ${i + 1}` }))
  return (
    <Table
      caption="The first rows of the file"
      scrolls
      columns={[{ words: 'Line', numeric: true }, ...columns]}
      rows={preview.map(({ line, cells }) => [
        <span safe>{String(line)}</span>,
        ...columns.map((_, i) => <span safe>{cells[i] ?? ''}</span>),
      ])}
    />
  )
}
