import type { FieldFault } from '../../web/error-summary.tsx'
import type { DateReading } from '../../web/read-typed-date.ts'
import { readTypedNumber } from '../../web/read-typed-number.ts'
import { momentIn, type TypedFields, textIn } from '../../web/typed-fields.ts'
import type { TestChoices } from './page-queries.ts'
import { type NewExposure, type NewTest, newTest } from './schemas.ts'

export type FormOutcome<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly faults: readonly FieldFault[] }

/** Reads a radon result with its unit; null where the field is empty. */
export function resultIn(typed: TypedFields, name: string, unit: string, faults: FieldFault[]): NewExposure['result'] {
  const text = textIn(typed, name)
  if (text === '') return null
  const [, sign = '', number = ''] = /^([<>]?)\s*(.*)$/.exec(text) ?? []
  const read = readTypedNumber(number, text)
  if (!read.ok || read.value.startsWith('-')) {
    faults.push({ name, message: read.ok ? 'A result is never below zero' : read.fault })
    return null
  }
  return {
    value: read.value,
    unit: unit === 'Bq/m3' ? 'Bq/m3' : 'pCi/L',
    qualifier: sign === '<' || sign === '>' ? sign : '=',
  }
}

/** The form of a new test as the verb takes it; a location takes part when it is ticked or given a device or result. */
export function readNewTest(typed: TypedFields, home: TestChoices, reading: DateReading): FormOutcome<NewTest> {
  const faults: FieldFault[] = []
  const setAt = momentIn(typed, 'set', reading, faults)
  const pickedUpAt = momentIn(typed, 'picked-up', reading, faults)
  const closedSince = momentIn(typed, 'closed', reading, faults)
  const exposures = home.locations.flatMap(({ id }) => exposureIn(typed, id, faults))
  if (home.locations.length > 0 && exposures.length === 0)
    faults.push({ name: 'here', message: 'No location is ticked: say where the device stood' })
  const hasResult = exposures.some(exposure => exposure.result)
  const said = {
    purpose: textIn(typed, 'purpose'),
    method: textIn(typed, 'method') || methodOfDevices(exposures, home),
    systemId: textIn(typed, 'system') || null,
    source: textIn(typed, 'source') || 'own',
    setAt,
    setBy: textIn(typed, 'set-by'),
    pickedUpAt,
    resultInAt: hasResult ? reading.now : null,
    closedSince,
    closedDuring: textIn(typed, 'closed-during') || 'unknown',
    severeWeather: textIn(typed, 'severe-weather') || 'unknown',
    systemRunning: textIn(typed, 'system-running') || 'unknown',
    tampering: textIn(typed, 'tampering') || 'unknown',
    conditionsNote: textIn(typed, 'conditions-note'),
    exposures: exposures.length ? exposures : [{}],
    ...(textIn(typed, 'confirm-devices') ? { confirmDevices: true } : {}),
  }
  const read = newTest.safeParse(iso(said))
  if (!read.success)
    for (const issue of read.error.issues) faults.push({ name: issue.path.join('.'), message: sayIssue(issue.message) })
  return faults.length === 0 && read.success ? { ok: true, value: read.data } : { ok: false, faults }
}

// A device says how it measures; where none is chosen, or several differ, the form has to.
function methodOfDevices(exposures: readonly { deviceId: string | null }[], home: TestChoices): string {
  const methods = exposures.flatMap(({ deviceId }) => home.devices.find(device => device.id === deviceId)?.method ?? [])
  return new Set(methods).size === 1 ? methods[0]! : ''
}

function exposureIn(typed: TypedFields, locationId: string, faults: FieldFault[]) {
  const ticked = [typed.here].flat().includes(locationId)
  const device = textIn(typed, `device-${locationId}`)
  const kit = textIn(typed, `kit-${locationId}`)
  const result = resultIn(typed, `result-${locationId}`, textIn(typed, 'unit'), faults)
  if (!ticked && !device && !kit && !result) return []
  return [{ locationId, deviceId: device || null, kitNumber: kit || null, result }]
}

/** The verb's faults under the names of this form: an exposure is known by its location there. */
export const faultsAtLocations = (faults: readonly FieldFault[], { exposures }: NewTest): FieldFault[] =>
  faults.map(fault => {
    const [, at, field] = /^exposures\.(\d+)\.(deviceId|kitNumber|result)$/.exec(fault.name) ?? []
    const locationId = at === undefined ? null : exposures[Number(at)]?.locationId
    return locationId ? { ...fault, name: `${fieldNames[field as keyof typeof fieldNames]}-${locationId}` } : fault
  })
const fieldNames = { deviceId: 'device', kitNumber: 'kit', result: 'result' } as const

// The schema takes instants as RFC 3339 text, because that is how they come over the API.
const iso = (value: unknown): unknown =>
  JSON.parse(
    JSON.stringify(value, (name, part: unknown) =>
      typeof part === 'number' && /(At|Since)$/.test(name) ? new Date(part).toISOString() : part,
    ),
  )

const sayIssue = (message: string) => (/expected one of/.test(message) ? 'Choose one' : message)
