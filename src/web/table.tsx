import type { Children, PropsWithChildren } from '@kitajs/html'

export type Column = {
  readonly words: string
  /** Numbers are aligned at the right. */
  readonly numeric?: boolean
  /** A header that sorts: the address that does it and how the table is sorted by it now. */
  readonly sort?: { readonly href: string; readonly now: 'ascending' | 'descending' | null }
}

export type TableProps = {
  caption: string
  columns: readonly Column[]
  /** A row's cells, in the order of the columns; already HTML (components, or text put through `Text`). */
  rows: readonly (readonly Children[])[]
  /** The first cell names the row. */
  rowHeader?: boolean
  /** Keeps its columns on a phone and scrolls in its own box instead of being stacked: for tables of figures. */
  scrolls?: boolean
  id?: string
  quietCaption?: boolean
}

/** A cell's or list's text, escaped: `<Text of={name} />`. */
export const Text = ({ of, children }: PropsWithChildren<{ of?: string | number }>): JSX.Element => (
  <span safe>{String(of ?? children ?? '')}</span>
)

/** A table with caption and scopes; on a phone every row becomes a short list of label and value. */
export function Table(props: TableProps): JSX.Element {
  const { caption, columns, rows, rowHeader = true, scrolls = false, id, quietCaption } = props
  return (
    <div
      class={scrolls ? 'table scrolls' : 'table stacks'}
      role={scrolls ? 'region' : undefined}
      aria-label={scrolls ? caption : undefined}
      tabindex={scrolls ? '0' : undefined}
    >
      <table id={id}>
        <caption class={quietCaption ? 'unseen' : undefined} safe>
          {caption}
        </caption>
        <thead>
          <tr>
            {columns.map(column => (
              <Header column={column} />
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map(cells => (
            <tr>
              {cells.map((cell, index) => (
                <Cell column={columns[index]} header={rowHeader && index === 0}>
                  {cell}
                </Cell>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}

function Header({ column }: { column: Column }): JSX.Element {
  const { words, numeric, sort } = column
  return (
    <th scope="col" class={numeric ? 'numeric' : undefined} aria-sort={sort ? (sort.now ?? 'none') : undefined}>
      {sort ? (
        <a href={sort.href} safe>
          {words}
        </a>
      ) : (
        <span safe>{words}</span>
      )}
    </th>
  )
}

function Cell(props: PropsWithChildren<{ column?: Column; header: boolean }>): JSX.Element {
  const kind = props.column?.numeric ? 'numeric' : undefined
  if (props.header)
    return (
      <th scope="row" class={kind}>
        {props.children}
      </th>
    )
  return (
    <td class={kind} data-label={props.column?.words}>
      {props.children}
    </td>
  )
}
