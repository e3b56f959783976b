import type { z } from 'zod'
import type { When } from '../../domain/facts.ts'
import { instantText, instantTextOrNull } from '../../platform/http/scalars.ts'
import type { BaselineRow } from '../../standing/baseline.ts'
import { presentStanding } from '../../standing/present-standing.ts'
import type { Restood } from '../../standing/restand.ts'
import type { SystemRow } from './rows.ts'
import type { systemOut, systemWithStanding } from './schemas.ts'

const presentWhen = (when: When) => ({ at: instantTextOrNull(when.at), approx: when.edtf })

const presentBaseline = (baseline: BaselineRow) => ({
  readingId: baseline.id,
  role: baseline.role,
  value: baseline.value,
  unit: baseline.unit,
  at: instantText(baseline.at),
  readBy: baseline.readBy,
  adoptedAt: instantTextOrNull(baseline.adoptedAt),
  adoptedBy: baseline.adoptedBy,
  note: baseline.note,
})

/** A system as the API shows it; nothing appears here that is not named. */
export const presentSystem = (system: SystemRow): z.output<typeof systemOut> => ({
  id: system.id,
  propertyId: system.propertyId,
  tag: system.tag,
  type: system.type,
  active: system.active,
  installedBy: system.installedBy,
  installerName: system.installerName,
  note: system.note,
  components: system.components.map(part => ({
    id: part.id,
    kind: part.kind,
    model: part.model,
    serial: part.serial,
    lot: part.lot,
    place: part.place,
    installed: presentWhen(part.installed),
    removed: part.removed && presentWhen(part.removed),
    removalReason: part.removalReason,
    note: part.note,
    version: part.version,
  })),
  suctionPoints: system.suctionPoints.map(point => ({
    id: point.id,
    name: point.name,
    foundationAreaId: point.foundationAreaId,
    since: instantTextOrNull(point.since),
    until: instantTextOrNull(point.until),
    note: point.note,
  })),
  events: system.events.map(event => ({
    id: event.id,
    kind: event.kind,
    when: presentWhen(event.when),
    note: event.note,
  })),
  gaugeReadings: system.gaugeReadings.map(reading => ({
    id: reading.id,
    role: reading.role,
    value: reading.value,
    unit: reading.unit,
    at: instantText(reading.at),
    readBy: reading.readBy,
    note: reading.note,
  })),
  baseline: system.baseline && presentBaseline(system.baseline),
  version: system.version,
  createdAt: instantText(system.createdAt),
  updatedAt: instantText(system.updatedAt),
  voidedAt: instantTextOrNull(system.voidedAt),
  voidReason: system.voidReason,
})

/** What a write answers: the system as it is now, and the home's standing that follows. */
export const presentSystemWithStanding = (
  system: SystemRow,
  restood: Restood,
): z.output<typeof systemWithStanding> => ({
  system: presentSystem(system),
  standing: presentStanding({ standing: restood.standing, version: restood.version, stale: false }),
})
