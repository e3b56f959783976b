import type { Program } from './actors.ts'

let made = 0

/** A monitor made through the API, calibrated for all of 2026 unless told otherwise; gives its id. */
export async function aMonitor(
  app: Program,
  calibrations: readonly object[] = [{ calibratedOn: '2025-12-31', validUntil: '2026-12-31' }],
): Promise<string> {
  const body = { kind: 'monitor', method: 'continuous-monitor', model: 'Hourly', serial: `HM-${++made}`, calibrations }
  const answer = await app.post('/v1/devices', body)
  if (answer.status !== 201) throw new Error(`no monitor: ${answer.status} ${answer.text}`)
  return answer.body.id
}

/** A lot of charcoal kits; gives its id. */
export async function aLot(app: Program, more: object = {}): Promise<string> {
  const body = { kind: 'kit-lot', method: 'activated-charcoal', lot: `AC-${++made}`, kitCount: 40, ...more }
  const answer = await app.post('/v1/devices', body)
  if (answer.status !== 201) throw new Error(`no lot: ${answer.status} ${answer.text}`)
  return answer.body.id
}
