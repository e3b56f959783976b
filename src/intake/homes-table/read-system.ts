import type { Edtf } from '../../domain/facts.ts'
import type { FanCells, GaugeCells, SystemCells } from './home-facts.ts'
import type { HomeRole, HomesReading, Readers, Settled } from './homes-reading.ts'
import { readGaugeCell } from './read-measures.ts'
import type { RowCells } from './row-cells.ts'
import { saysNothing } from './says-nothing.ts'
import { installerNamed, systemTypeNamed } from './trade-words.ts'

const SAYS_A_SYSTEM: readonly HomeRole[] = [
  'system-type',
  'installed',
  'tag',
  'installer',
  'label',
  'fan-model',
  'fan-serial',
  'fan-installed',
  'gauge',
]
const NO_SYSTEM = /^(?:none|no|no system|not mitigated|not installed|declined|test only)$/i
const known = (cell: string): string => (saysNothing(cell) ? '' : cell)

/** What a row says of a system; null where it speaks of none. */
export function readSystem(
  row: RowCells,
  reading: Settled,
  readers: Readers,
  date: (role: HomeRole) => Edtf | null,
): SystemCells | null {
  if (NO_SYSTEM.test(row.text('system-type')) || NO_SYSTEM.test(row.text('installed'))) return null
  if (SAYS_A_SYSTEM.every(role => known(row.text(role)) === '')) return null
  const words = known(row.text('system-type'))
  const type = words === '' ? null : systemTypeNamed(words)
  if (words !== '' && type === null) row.remark('system-type', 'names no kind of system that is known')
  return {
    tag: tagIn(row),
    type,
    installed: date('installed'),
    ...installerIn(row, reading, readers),
    label: known(row.text('label')).slice(0, 500),
    fans: fansIn(row, date('fan-installed')),
    gauges: gaugesIn(row, reading),
    alarm: alarmIn(row),
  }
}

function tagIn(row: RowCells): string | null {
  const [first, ...others] = row.all('tag').map(({ text }) => known(text.replace(/\.0$/, '')))
  for (const other of others) if (other !== '') row.remark('tag', 'is a second number', other)
  if (!first) return null
  if (first.length <= 60) return first
  row.remark('tag', 'is longer than 60 characters')
  return null
}

function installerIn(row: RowCells, { constants }: HomesReading, { companyName }: Readers) {
  const cell = known(row.text('installer')).slice(0, 200)
  return cell === '' ? { installedBy: constants.installedBy, installerName: '' } : installerNamed(cell, companyName)
}

function fansIn(row: RowCells, installed: Edtf | null): FanCells[] {
  const [model, serial] = [known(row.text('fan-model')), known(row.text('fan-serial').replace(/\.0$/, ''))]
  if (NO_SYSTEM.test(model) || (model === '' && serial === '' && installed === null)) return []
  return [{ model: model.slice(0, 120), serial: serial.slice(0, 120), installed }]
}

function gaugesIn(row: RowCells, { constants, decimalMark }: Settled): GaugeCells[] {
  const cell = readGaugeCell(row.text('gauge'), decimalMark)
  if (cell.kind === 'unreadable') row.remark('gauge', 'is no pressure')
  if (cell.kind !== 'gauge') return []
  const beside = row.text('gauge-unit')
  const unit = cell.unit ?? (beside === '' ? constants.gaugeUnit : /pa/i.test(beside) ? 'Pa' : 'in. w.c.')
  if (unit !== null) return [{ value: cell.value, unit }]
  row.remark('gauge', 'has no unit')
  return []
}

function alarmIn(row: RowCells): string | null {
  const cell = known(row.text('alarm'))
  if (cell === '' || /^(?:no|none|n)$/i.test(cell)) return null
  return /^(?:yes|y|x|✓|ok|installed)$/i.test(cell) ? '' : cell.slice(0, 500)
}
