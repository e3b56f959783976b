import type { z } from 'zod'
import type { FieldFault } from '../../web/error-summary.tsx'
import { type DateReading, readTypedDate } from '../../web/read-typed-date.ts'
import { numberIn, type TypedFields, textIn } from '../../web/typed-fields.ts'
import { absenceCorrection, newAbsence } from './absence-schemas.ts'
import { newCalibration, newDevice } from './schemas.ts'

export type FormOutcome<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly faults: readonly FieldFault[] }

export function dayIn(
  typed: TypedFields,
  name: string,
  reading: DateReading,
  faults: FieldFault[],
): string | undefined {
  const text = textIn(typed, name)
  if (text === '') return undefined
  const read = readTypedDate(text, reading)
  if (read.ok) return read.day
  faults.push({ name, message: read.fault })
  return undefined
}

export function checked<S extends z.ZodType>(schema: S, said: unknown, faults: FieldFault[]): FormOutcome<z.output<S>> {
  const read = schema.safeParse(said)
  if (!read.success)
    for (const { path, message } of read.error.issues)
      faults.push({ name: String(path.at(-1) ?? ''), message: say(message) })
  return read.success && faults.length === 0 ? { ok: true, value: read.data } : { ok: false, faults }
}
const say = (message: string) => (/expected one of|received undefined/.test(message) ? 'Fill this in' : message)

/** The form of a new device as the verb takes it. */
export function readDeviceForm(typed: TypedFields, reading: DateReading): FormOutcome<z.output<typeof newDevice>> {
  const faults: FieldFault[] = []
  const kits = numberIn(typed, 'kitCount', faults)
  const sensitivity = numberIn(typed, 'sensitivity', faults)
  const calibratedOn = dayIn(typed, 'calibratedOn', reading, faults)
  const validUntil = dayIn(typed, 'validUntil', reading, faults)
  const said = {
    kind: textIn(typed, 'kind'),
    method: textIn(typed, 'method'),
    model: textIn(typed, 'model'),
    serial: textIn(typed, 'serial') || null,
    lot: textIn(typed, 'lot') || null,
    kitCount: kits === null ? null : Number(kits),
    expiresOn: dayIn(typed, 'expiresOn', reading, faults) ?? null,
    sensitivity,
    sensitivityUnit: sensitivity === null ? null : 'cph per pCi/L',
    calibrations: calibratedOn || validUntil ? [{ calibratedOn, validUntil }] : [],
  }
  return checked(newDevice, said, faults)
}

export function readCalibrationForm(
  typed: TypedFields,
  reading: DateReading,
): FormOutcome<z.output<typeof newCalibration>> {
  const faults: FieldFault[] = []
  const said = {
    calibratedOn: dayIn(typed, 'calibratedOn', reading, faults),
    validUntil: dayIn(typed, 'validUntil', reading, faults),
    certificate: textIn(typed, 'certificate'),
  }
  return checked(newCalibration, said, faults)
}

export function readAwayForm(typed: TypedFields, reading: DateReading): FormOutcome<z.output<typeof newAbsence>> {
  const faults: FieldFault[] = []
  const said = {
    kind: textIn(typed, 'kind'),
    fromOn: dayIn(typed, 'fromOn', reading, faults),
    expectedBackOn: dayIn(typed, 'expectedBackOn', reading, faults),
    place: textIn(typed, 'place'),
  }
  return checked(newAbsence, said, faults)
}

export function readBackForm(
  typed: TypedFields,
  reading: DateReading,
): FormOutcome<z.output<typeof absenceCorrection>> {
  const faults: FieldFault[] = []
  const said = {
    backOn: dayIn(typed, 'backOn', reading, faults),
    expectedBackOn: dayIn(typed, 'expectedBackOn', reading, faults),
  }
  if (!said.backOn && !said.expectedBackOn && faults.length === 0)
    faults.push({ name: 'backOn', message: 'Say when it was back, or when it is expected' })
  return checked(absenceCorrection, said, faults)
}
