import type { MonitorFacts } from '../../domain/devices/monitor-facts.ts'
import type { Instant } from '../../domain/facts.ts'
import type { AbsenceRow } from './absence-queries.ts'
import type { KitLine } from './chase-queries.ts'
import type { FormProps } from './device-form.tsx'
import type { DeviceRow } from './queries.ts'

export type DeviceViewProps = FormProps & {
  readonly device: DeviceRow
  /** Of a monitor. */
  readonly monitor: MonitorFacts | null
  readonly absences: readonly AbsenceRow[]
  /** Of a lot. */
  readonly kits: readonly KitLine[]
  readonly now: Instant
  readonly zone: string
  readonly mayChange: boolean
  /** Which of the page's forms came back. */
  readonly came: 'calibrations' | 'away' | null
}
