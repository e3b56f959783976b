import type { z } from 'zod'
import { instantText, instantTextOrNull } from '../../platform/http/scalars.ts'
import type { CallbackRow } from './queries.ts'
import type { callbackOut } from './schemas.ts'

/** A callback as the API shows it. Who reported it is contact data only by name, as it was said on the phone. */
export const presentCallback = (callback: CallbackRow): z.output<typeof callbackOut> => ({
  id: callback.id,
  number: callback.number,
  propertyId: callback.propertyId,
  systemId: callback.systemId,
  complaint: callback.complaint,
  reportedAt: instantText(callback.reportedAt),
  reportedBy: callback.reportedBy,
  reportedByCustomer: callback.reportedByCustomer,
  channel: callback.channel,
  description: callback.description,
  answers: [...callback.answers],
  found: callback.found,
  done: callback.done,
  closedAt: instantTextOrNull(callback.closedAt),
  zone: callback.zone,
  version: callback.version,
  createdAt: instantText(callback.createdAt),
  updatedAt: instantText(callback.updatedAt),
  voidedAt: instantTextOrNull(callback.voidedAt),
  voidReason: callback.voidReason,
})
