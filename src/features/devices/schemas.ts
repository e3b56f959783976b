import { z } from 'zod'
import { decimalText, filledText, id, instantIn, instantOut, localDay, text } from '../../platform/http/scalars.ts'

export const deviceKind = z.enum(['monitor', 'kit-lot'])
export const deviceMethod = z.enum([
  'continuous-monitor',
  'activated-charcoal',
  'electret',
  'alpha-track',
  'liquid-scintillation',
])

const own = {
  model: text(120).optional(),
  serial: filledText(120).nullish(),
  lot: filledText(120).nullish(),
  kitCount: z.number().int().min(1).max(100_000).nullish(),
  expiresOn: localDay.nullish(),
  sensitivity: decimalText.nullish(),
  sensitivityUnit: z.enum(['cph per pCi/L', 'cph per Bq/m3', 'cpm per pCi/L']).nullish(),
  note: text(2000).optional(),
}

export const newCalibration = z
  .strictObject({ calibratedOn: localDay, validUntil: localDay, certificate: text(200).optional() })
  .refine(value => value.validUntil > value.calibratedOn, {
    path: ['validUntil'],
    error: 'is not after calibratedOn: correct one of the two',
  })
  .meta({ id: 'NewCalibration' })
export type NewCalibration = z.output<typeof newCalibration>

export const newDevice = z
  .strictObject({
    kind: deviceKind,
    method: deviceMethod,
    ...own,
    calibrations: z.array(newCalibration).max(60).default([]),
  })
  .refine(device => (device.kind === 'monitor' ? device.serial : device.lot), {
    error: 'A monitor needs its serial number, a lot of kits its lot number',
    path: ['serial'],
  })
  .meta({ id: 'NewDevice' })
export type NewDevice = z.output<typeof newDevice>

export const deviceCorrection = z
  .strictObject({ ...own, retiredAt: instantIn.nullish(), reason: filledText(500) })
  .meta({ id: 'DeviceCorrection' })
export type DeviceCorrection = z.output<typeof deviceCorrection>

export const voiding = z.strictObject({ reason: filledText(500) })

export const deviceListQuery = z.strictObject({
  kind: deviceKind.optional(),
  limit: z.coerce.number().int().min(1).max(200).default(50),
  cursor: z.string().max(500).optional(),
})

export const deviceOut = z
  .object({
    id,
    kind: deviceKind,
    method: deviceMethod,
    model: z.string(),
    serial: z.string().nullable(),
    lot: z.string().nullable(),
    kitCount: z.number().int().nullable(),
    expiresOn: localDay.nullable(),
    sensitivity: z.string().nullable(),
    sensitivityUnit: z.string().nullable(),
    note: z.string(),
    retiredAt: instantOut.nullable(),
    calibrations: z.array(z.object({ id, calibratedOn: localDay, validUntil: localDay, certificate: z.string() })),
    version: z.number().int(),
    createdAt: instantOut,
    updatedAt: instantOut,
    voidedAt: instantOut.nullable(),
    voidReason: z.string().nullable(),
  })
  .meta({ id: 'Device' })

export const deviceList = z
  .object({ items: z.array(deviceOut), next: z.string().nullable() })
  .meta({ id: 'DeviceList' })
