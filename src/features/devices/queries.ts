import type { Instant, LocalDay } from '../../domain/facts.ts'
import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import { listStatement } from '../../platform/db/list-statement.ts'
import { notFound } from '../../platform/http/problem.ts'
import type { NewCalibration } from './schemas.ts'

export type DeviceColumns = {
  model: string
  serial: string | null
  lot: string | null
  kitCount: number | null
  expiresOn: LocalDay | null
  sensitivity: string | null
  sensitivityUnit: string | null
  note: string
  retiredAt: Instant | null
}

export type DeviceRow = DeviceColumns & {
  id: string
  kind: 'monitor' | 'kit-lot'
  method: 'continuous-monitor' | 'activated-charcoal' | 'electret' | 'alpha-track' | 'liquid-scintillation'
  version: number
  createdAt: Instant
  updatedAt: Instant
  voidedAt: Instant | null
  voidReason: string | null
  calibrations: { id: string; calibratedOn: LocalDay; validUntil: LocalDay; certificate: string }[]
  /** Where it is exposed now, by the latest test that was set with it and not picked up. */
  outAt: { propertyId: string; testId: string; since: Instant | null } | null
}

const columns = `d.id, d.kind, d.method, d.model, d.serial, d.lot, d.kit_count as "kitCount", d.expires_on as "expiresOn",
  d.sensitivity, d.sensitivity_unit as "sensitivityUnit", d.note, d.retired_at as "retiredAt", d.version,
  d.created_at as "createdAt", d.updated_at as "updatedAt", d.voided_at as "voidedAt", d.void_reason as "voidReason",
  (select coalesce(json_agg(json_build_object('id', c.id, 'calibratedOn', c.calibrated_on, 'validUntil', c.valid_until,
      'certificate', c.certificate) order by c.calibrated_on desc, c.id), '[]')
    from calibration c where c.device_id = d.id and c.voided_at is null) as calibrations,
  (select json_build_object('propertyId', t.property_id, 'testId', t.id, 'since', (extract(epoch from t.set_at) * 1000)::bigint)
    from exposure x join test t on t.id = x.test_id
    where d.kind = 'monitor' and x.device_id = d.id and x.voided_at is null and t.voided_at is null
      and t.set_at is not null and t.picked_up_at is null and t.result_in_at is null
    order by t.set_at desc limit 1) as "outAt"`

const byId = sql('device-by-id', `select ${columns} from device d where d.id = $1`)

/** The device with its calibrations; 404 when there is none. Devices are the company's, not a home's. */
export async function readDevice(db: Db, deviceId: string): Promise<DeviceRow> {
  const device = await db.one<DeviceRow>(byId, [deviceId])
  if (!device) throw notFound('device')
  return device
}

const lock = sql('device-lock', 'select id from device where id = $1 and voided_at is null for update')
/** Locks a device that is to be changed and reads it. */
export async function lockDevice(tx: Tx, deviceId: string): Promise<DeviceRow> {
  if (!(await tx.one(lock, [deviceId]))) throw notFound('device')
  return readDevice(tx, deviceId)
}

type DeviceFilter = { readonly kind?: string; readonly before?: string }
const list = listStatement<DeviceFilter>(
  'device-list',
  { limit: 1, taken: 1 },
  { kind: n => `d.kind = $${n}`, before: n => `d.id < $${n}` },
  filters => `select ${columns} from device d where true ${filters} order by d.id desc`,
)
/** Newest first, keyset by id; one more than `limit` tells that more follow. */
export function listDevices(db: Db, { limit, ...filter }: DeviceFilter & { readonly limit: number }) {
  const { statement, values } = list(filter)
  return db.rows<DeviceRow>(statement, [limit + 1, ...values])
}

const values = (device: DeviceColumns) => [
  device.model,
  device.serial,
  device.lot,
  device.kitCount,
  device.expiresOn,
  device.sensitivity,
  device.sensitivityUnit,
  device.note,
  device.retiredAt === null ? null : at(device.retiredAt),
]

const insert = sql(
  'device-insert',
  `insert into device (model, serial, lot, kit_count, expires_on, sensitivity, sensitivity_unit, note, retired_at,
     id, kind, method, created_at, updated_at) values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $13)`,
)
export const insertDevice = (
  tx: Tx,
  now: number,
  device: DeviceColumns & { id: string; kind: string; method: string },
) => tx.rows(insert, [...values(device), device.id, device.kind, device.method, at(now)])

const update = sql(
  'device-update',
  `update device set model = $1, serial = $2, lot = $3, kit_count = $4, expires_on = $5, sensitivity = $6,
     sensitivity_unit = $7, note = $8, retired_at = $9, version = version + 1, updated_at = $11 where id = $10`,
)
export const updateDevice = (tx: Tx, now: number, deviceId: string, device: DeviceColumns) =>
  tx.rows(update, [...values(device), deviceId, at(now)])

const markVoided = sql(
  'device-void',
  'update device set voided_at = $2, void_reason = $3, version = version + 1, updated_at = $2 where id = $1',
)
export const markDeviceVoided = (tx: Tx, now: number, deviceId: string, reason: string) =>
  tx.rows(markVoided, [deviceId, at(now), reason])

const addCalibration = sql(
  'calibration-insert',
  `insert into calibration (id, device_id, calibrated_on, valid_until, certificate, created_at)
   values ($1, $2, $3, $4, $5, $6)`,
)
export const insertCalibration = (tx: Tx, now: number, deviceId: string, id: string, calibration: NewCalibration) =>
  tx.rows(addCalibration, [
    id,
    deviceId,
    calibration.calibratedOn,
    calibration.validUntil,
    calibration.certificate ?? '',
    at(now),
  ])

const markCalibrationVoid = sql(
  'calibration-void',
  `update calibration set voided_at = $3, void_reason = $4
    where id = $1 and device_id = $2 and voided_at is null returning id`,
)
export const markCalibrationVoided = (tx: Tx, now: number, deviceId: string, id: string, reason: string) =>
  tx.one<{ id: string }>(markCalibrationVoid, [id, deviceId, at(now), reason])

const homes = sql(
  'device-homes',
  `select distinct t.property_id as id from exposure x join test t on t.id = x.test_id
    where x.device_id = $1 and x.voided_at is null and t.voided_at is null`,
)
/** The homes where a test used this device: what a calibration says touches each of them. */
export const homesMeasuredWith = async (tx: Tx, deviceId: string): Promise<string[]> =>
  (await tx.rows<{ id: string }>(homes, [deviceId])).map(row => row.id)
