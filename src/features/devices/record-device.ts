import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { notFound, stale } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { markHomesStale } from '../../standing/restand-stale.ts'
import {
  type DeviceRow,
  homesMeasuredWith,
  insertCalibration,
  insertDevice,
  lockDevice,
  markCalibrationVoided,
  markDeviceVoided,
  updateDevice,
} from './queries.ts'
import type { DeviceCorrection, NewCalibration, NewDevice } from './schemas.ts'

/** Records a monitor or a lot of kits, with the calibrations known of it. */
export async function recordDevice(tx: Tx, act: Act, input: NewDevice): Promise<string> {
  const id = newId()
  await insertDevice(tx, act.now, {
    id,
    kind: input.kind,
    method: input.method,
    model: input.model ?? '',
    serial: input.serial ?? null,
    lot: input.lot ?? null,
    kitCount: input.kitCount ?? null,
    expiresOn: input.expiresOn ?? null,
    sensitivity: input.sensitivity ?? null,
    sensitivityUnit: input.sensitivityUnit ?? null,
    note: input.note ?? '',
    retiredAt: null,
  })
  for (const calibration of input.calibrations) await insertCalibration(tx, act.now, id, newId(), calibration)
  await recordWrite(tx, act, { action: 'create', noun: 'device', id, version: 1 })
  return id
}

async function deviceToChange(tx: Tx, deviceId: string, version: number): Promise<DeviceRow> {
  const device = await lockDevice(tx, deviceId)
  if (device.version !== version) throw stale(device.version)
  return device
}

export async function correctDevice(
  tx: Tx,
  act: Act,
  deviceId: string,
  version: number,
  { reason, ...correction }: DeviceCorrection,
): Promise<void> {
  const was = await deviceToChange(tx, deviceId, version)
  const said = Object.fromEntries(Object.entries(correction).filter(([, value]) => value !== undefined))
  await updateDevice(tx, act.now, deviceId, { ...was, ...said })
  await written(tx, act, was, { action: 'correct', fields: Object.keys(said), reason })
}

export async function voidDevice(tx: Tx, act: Act, deviceId: string, version: number, reason: string): Promise<void> {
  const was = await deviceToChange(tx, deviceId, version)
  await markDeviceVoided(tx, act.now, deviceId, reason)
  await written(tx, act, was, { action: 'void', reason })
}

/** A calibration is a dated fact: it is added, and every home measured with the device is stood anew. */
export async function addCalibration(tx: Tx, act: Act, deviceId: string, calibration: NewCalibration): Promise<string> {
  const device = await lockDevice(tx, deviceId)
  const id = newId()
  await insertCalibration(tx, act.now, deviceId, id, calibration)
  await updateDevice(tx, act.now, deviceId, device)
  await written(tx, act, device, { action: 'correct', fields: ['calibrations'] })
  return id
}

export async function voidCalibration(
  tx: Tx,
  act: Act,
  deviceId: string,
  version: number,
  calibration: { id: string; reason: string },
): Promise<void> {
  const device = await deviceToChange(tx, deviceId, version)
  if (!(await markCalibrationVoided(tx, act.now, deviceId, calibration.id, calibration.reason)))
    throw notFound('calibration')
  await updateDevice(tx, act.now, deviceId, device)
  await written(tx, act, device, { action: 'correct', fields: ['calibrations'], reason: calibration.reason })
}

async function written(
  tx: Tx,
  act: Act,
  was: DeviceRow,
  what: { action: 'correct' | 'void'; fields?: string[]; reason?: string },
): Promise<void> {
  const { outAt: _, ...kept } = was
  await recordWrite(tx, act, { ...what, noun: 'device', id: was.id, version: was.version + 1, was: kept })
  await markHomesStale(tx, act.now, await homesMeasuredWith(tx, was.id))
}
