import type { z } from 'zod'
import { instantText, instantTextOrNull } from '../../platform/http/scalars.ts'
import type { DeviceRow } from './queries.ts'
import type { deviceOut } from './schemas.ts'

/** A device as the API shows it; where it is now is a home's matter and not shown here. */
export const presentDevice = (device: DeviceRow): z.output<typeof deviceOut> => ({
  id: device.id,
  kind: device.kind,
  method: device.method,
  model: device.model,
  serial: device.serial,
  lot: device.lot,
  kitCount: device.kitCount,
  expiresOn: device.expiresOn,
  sensitivity: device.sensitivity,
  sensitivityUnit: device.sensitivityUnit,
  note: device.note,
  retiredAt: instantTextOrNull(device.retiredAt),
  calibrations: device.calibrations,
  version: device.version,
  createdAt: instantText(device.createdAt),
  updatedAt: instantText(device.updatedAt),
  voidedAt: instantTextOrNull(device.voidedAt),
  voidReason: device.voidReason,
})
