import type { Spread } from './spread.ts'

/** One line of the table. */
export type Finding = {
  /** The rows of the catalogue of checks that ask for it. */
  readonly row: string
  readonly what: string
  readonly against: string
  readonly figure: Spread
  readonly unit?: string
  readonly aim?: Aim
  /** What the figure comes to in plain numbers. */
  readonly note?: string
}
export type Aim = { readonly atLeast: number } | { readonly atMost: number }

export const reaches = ({ figure, aim }: Pick<Finding, 'figure' | 'aim'>): boolean =>
  aim === undefined || ('atLeast' in aim ? figure.median >= aim.atLeast : figure.median <= aim.atMost)

const short = (figure: number): string => (figure >= 100 ? figure.toFixed(0) : figure.toPrecision(3))
const aimText = (aim: Aim | undefined): string =>
  aim === undefined
    ? ''
    : 'atLeast' in aim
      ? `≥ ${aim.atLeast.toLocaleString('en')}`
      : `≤ ${aim.atMost.toLocaleString('en')}`

/** The findings as aligned lines: figure, spread, aim. */
export function table(findings: readonly Finding[]): string {
  const rows = findings.map(finding => [
    finding.row,
    finding.what,
    finding.against,
    `${short(finding.figure.median)}${finding.unit ? ` ${finding.unit}` : ''}`,
    `${short(finding.figure.least)}–${short(finding.figure.most)}`,
    aimText(finding.aim),
    reaches(finding) ? '' : 'misses',
    finding.note ?? '',
  ])
  const all = [['', 'what', 'against', 'median', 'spread', 'aim', '', ''], ...rows]
  const widths = all[0]!.map((_, column) => Math.max(...all.map(row => row[column]!.length)))
  return all
    .map(row =>
      row
        .map((cell, i) => cell.padEnd(widths[i]!))
        .join('  ')
        .trimEnd(),
    )
    .join('\n')
}
