import type { z } from 'zod'
import { instantText, instantTextOrNull } from '../../platform/http/scalars.ts'
import type { VisitRow } from './queries.ts'
import type { visitOut } from './schemas.ts'

/** A visit as the API shows it; gate code, dog and key stay on the screens of those who go there. */
export const presentVisit = (visit: VisitRow): z.output<typeof visitOut> => ({
  id: visit.id,
  propertyId: visit.propertyId,
  purpose: visit.purpose,
  startsAt: instantText(visit.startsAt),
  endsAt: instantTextOrNull(visit.endsAt),
  callbackId: visit.callbackId,
  testId: visit.testId,
  instructions: visit.instructions,
  crew: visit.crew.map(person => ({ id: person.id, name: person.name })),
  outcome: visit.outcome,
  outcomeNote: visit.outcomeNote,
  arrivedAt: instantTextOrNull(visit.arrivedAt),
  doneAt: instantTextOrNull(visit.doneAt),
  zone: visit.zone,
  version: visit.version,
  createdAt: instantText(visit.createdAt),
  updatedAt: instantText(visit.updatedAt),
  voidedAt: instantTextOrNull(visit.voidedAt),
  voidReason: visit.voidReason,
})
