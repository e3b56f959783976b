/** What is wrong with one cell or one row of a table, and what to do about it. */
export type RowFault = {
  /** The sheet of a workbook; empty for a text file. */
  readonly sheet?: string
  readonly line: number
  readonly column: string
  readonly value: string
  readonly problem: string
  readonly remedy: string
}
