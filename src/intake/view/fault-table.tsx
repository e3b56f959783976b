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
export const RowFaultTable = ({
  faults,
  count = faults.length,
}: {
  faults: readonly RowFault[]
  count?: number
}): JSX.Element => (
  <Table
    caption={count > SHOWN ? `The first ${SHOWN} of ${count} bad cells` : 'Bad cells'}
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

/** Cells that were not understood: what is written alike in one column is told once, with its rows. */
export function RemarkTable({ remarks }: { remarks: readonly RowFault[] }): JSX.Element {
  const alike = new Map<string, RowFault[]>()
  for (const remark of remarks) {
    const key = [remark.sheet, remark.column, remark.problem, remark.value.toLowerCase()].join('\n')
    const before = alike.get(key)
    if (before) before.push(remark)
    else alike.set(key, [remark])
  }
  const groups = [...alike.values()].sort((a, b) => b.length - a.length)
  return (
    <Table
      caption={groups.length > SHOWN ? `The ${SHOWN} most frequent of ${groups.length}` : 'Cells not understood'}
      columns={[{ words: 'Column' }, { words: 'It reads' }, { words: 'What is wrong' }, { words: 'Rows' }]}
      rows={groups
        .slice(0, SHOWN)
        .map(group => [
          <span safe>{group[0]!.column}</span>,
          <code safe>{group[0]!.value}</code>,
          <span safe>{group[0]!.problem}</span>,
          <span safe>{rowsOf(group)}</span>,
        ])}
    />
  )
}

const ROWS_NAMED = 6
function rowsOf(group: readonly RowFault[]): string {
  const named = group.slice(0, ROWS_NAMED).map(({ sheet, line }) => (sheet ? `${line} of ${sheet}` : String(line)))
  return group.length > ROWS_NAMED ? `${named.join(', ')} and ${group.length - ROWS_NAMED} more` : named.join(', ')
}

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
