import { z } from 'zod'
import type { FieldFault } from '../../web/error-summary.tsx'
import { type DateReading, readTypedDate } from '../../web/read-typed-date.ts'
import { needed, numberIn, type TypedFields, textIn, textsIn } from '../../web/typed-fields.ts'
import { visitWishWords } from '../../web/visit-purpose-words.ts'

export const reportKinds = ['visit-request', 'own-result', 'gauge-reading', 'alarm', 'moved'] as const
export type ReportKind = (typeof reportKinds)[number]
export const reportKind = z.enum(reportKinds)

export const halfDays = ['mon', 'tue', 'wed', 'thu', 'fri'].flatMap(day => [`${day}-morning`, `${day}-afternoon`])
export type ReadReport =
  | { readonly ok: true; readonly kind: ReportKind; readonly body: Readonly<Record<string, unknown>> }
  | { readonly ok: false; readonly kind: ReportKind | null; readonly faults: readonly FieldFault[] }

type Reading = DateReading & { readonly rooms: readonly string[]; readonly systems: readonly string[] }
type Read = (typed: TypedFields, reading: Reading, faults: FieldFault[]) => Record<string, unknown>

const said = (typed: TypedFields, name: string, max = 2000) => textIn(typed, name).slice(0, max)
const oneOf = (value: string, known: readonly string[]) => (known.includes(value) ? value : null)

function dayIn(typed: TypedFields, name: string, reading: Reading, faults: FieldFault[]): string | null {
  const text = textIn(typed, name)
  if (text === '') return null
  const read = readTypedDate(text, reading)
  if (read.ok) return read.day
  faults.push({ name, message: read.fault })
  return null
}

const fields: Record<ReportKind, Read> = {
  'visit-request': typed => ({
    purpose: oneOf(textIn(typed, 'purpose'), Object.keys(visitWishWords)),
    halfDays: textsIn(typed, 'halfDays').filter(part => halfDays.includes(part)),
    note: said(typed, 'note'),
  }),
  'own-result': (typed, reading, faults) => ({
    value:
      numberIn(typed, 'value', faults) ?? needed(faults, 'value', 'Write the result your device or laboratory gave'),
    unit: oneOf(textIn(typed, 'unit'), ['pCi/L', 'Bq/m3']) ?? needed(faults, 'unit', 'Choose the unit'),
    locationId: oneOf(textIn(typed, 'locationId'), reading.rooms),
    startedOn: dayIn(typed, 'startedOn', reading, faults),
    endedOn: dayIn(typed, 'endedOn', reading, faults),
    device: said(typed, 'device', 200),
    note: said(typed, 'note'),
  }),
  'gauge-reading': (typed, reading, faults) => ({
    value: numberIn(typed, 'value', faults) ?? needed(faults, 'value', 'Write what the gauge shows'),
    unit: oneOf(textIn(typed, 'unit'), ['in. w.c.', 'Pa']) ?? needed(faults, 'unit', 'Choose the unit on the gauge'),
    systemId: oneOf(textIn(typed, 'systemId'), reading.systems) ?? reading.systems[0] ?? null,
    note: said(typed, 'note'),
  }),
  alarm: (typed, reading, faults) => ({
    what:
      oneOf(textIn(typed, 'what'), ['alarm', 'gauge-at-zero', 'noise', 'water', 'other']) ??
      needed(faults, 'what', 'Choose what you see or hear'),
    systemId: oneOf(textIn(typed, 'systemId'), reading.systems) ?? reading.systems[0] ?? null,
    since: said(typed, 'since', 100),
    note: said(typed, 'note'),
  }),
  moved: (typed, reading, faults) => ({
    on: dayIn(typed, 'on', reading, faults),
    newOwner: said(typed, 'newOwner', 200),
    newEmail: said(typed, 'newEmail', 200),
  }),
}

/** Reads what a homeowner sends: kept as they said it, only what cannot be read is asked again. */
export function readReport(typed: TypedFields, reading: Reading): ReadReport {
  const kind = reportKind.safeParse(typed.kind)
  if (!kind.success)
    return { ok: false, kind: null, faults: [{ name: '', message: 'Choose what you want to tell us' }] }
  const faults: FieldFault[] = []
  const body = fields[kind.data](ofForm(typed, kind.data), reading, faults)
  if (faults.length === 0) return { ok: true, kind: kind.data, body }
  return { ok: false, kind: kind.data, faults: faults.map(fault => ({ ...fault, name: `${kind.data}.${fault.name}` })) }
}

// The forms stand on one page, so that each field carries its form's name before its own.
const ofForm = (typed: TypedFields, kind: ReportKind): TypedFields =>
  Object.fromEntries(
    Object.entries(typed).flatMap(([name, value]) =>
      name.startsWith(`${kind}.`) ? [[name.slice(kind.length + 1), value]] : [],
    ),
  )
