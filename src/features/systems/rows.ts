import type { z } from 'zod'
import type { Instant, When } from '../../domain/facts.ts'
import type { BaselineRow } from '../../standing/baseline.ts'
import type { componentKind, gaugeRole, installedBy, pressureUnit, systemEventKind, systemType } from './schemas.ts'

export type SystemColumns = {
  tag: string | null
  type: z.output<typeof systemType>
  active: boolean
  installedBy: z.output<typeof installedBy>
  installerName: string
  note: string
}

export type ComponentRow = {
  id: string
  kind: z.output<typeof componentKind>
  model: string
  serial: string
  lot: string
  place: string
  installed: When
  removed: When | null
  removalReason: string
  note: string
  version: number
}

export type SystemRow = SystemColumns & {
  id: string
  propertyId: string
  zone: string
  version: number
  createdAt: Instant
  updatedAt: Instant
  voidedAt: Instant | null
  voidReason: string | null
  components: ComponentRow[]
  suctionPoints: {
    id: string
    name: string
    foundationAreaId: string | null
    since: Instant | null
    until: Instant | null
    note: string
  }[]
  events: { id: string; kind: z.output<typeof systemEventKind>; when: When; note: string }[]
  gaugeReadings: {
    id: string
    role: z.output<typeof gaugeRole>
    value: string
    unit: z.output<typeof pressureUnit>
    at: Instant
    readBy: string
    note: string
  }[]
  /** The reading that later ones are held against. */
  baseline: BaselineRow | null
}
