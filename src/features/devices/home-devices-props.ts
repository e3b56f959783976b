import type { MonitorFacts } from '../../domain/devices/monitor-facts.ts'
import type { Instant } from '../../domain/facts.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import type { TypedFields } from '../../web/typed-fields.ts'
import type { KitLine } from './chase-queries.ts'
import type { HomeChoices } from './page-queries.ts'

export type HomeDevicesProps = {
  readonly home: HomeChoices
  readonly monitors: readonly MonitorFacts[]
  readonly kits: readonly KitLine[]
  readonly now: Instant
  readonly mayBook: boolean
  readonly came: 'booking' | 'kit' | null
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  readonly formKey: string
}
