import type { ImportBatch } from '../../intake/import-rows.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import { type ReadAgainIn, readAgainIn } from '../kinds/read-again-body.ts'
import { sameValue } from '../record-parts.ts'

/** The parts of a reading that are told anew, and how a form names what each is now. */
export const partsToTell = ['unit', 'clock', 'stamp', 'repeatedHour', 'dateOrder', 'decimalMark'] as const
export type PartToTell = (typeof partsToTell)[number]

/** What each part of a saved reading is now; one that the kind of file does not have is left out. */
export function partsAsRead({ reading: kept }: Pick<ImportBatch, 'reading'>): Partial<Record<PartToTell, unknown>> {
  if (kept.kind === 'homes-table' || !kept.reading) return {}
  if (kept.kind === 'monitor-record') {
    const { unit, clock, stamp, repeatedHour, dateOrder, decimalMark } = kept.reading
    return { unit, clock, stamp, repeatedHour, dateOrder, decimalMark }
  }
  const { dateOrder, decimalMark, constants } = kept.reading
  return { unit: constants.unit, dateOrder, decimalMark }
}

export type ReadAgainTyped =
  | { readonly ok: true; readonly asked: ReadAgainIn }
  | { readonly ok: false; readonly faults: readonly FieldFault[] }

/** What a form tells of a file: the parts that are chosen otherwise than they were read. */
export function readAgainTyped(batch: ImportBatch, typed: TypedFields): ReadAgainTyped {
  const told = Object.fromEntries(
    Object.entries(partsAsRead(batch)).flatMap(([part, now]) => {
      const chosen = valueIn(textIn(typed, part))
      return chosen === undefined || sameValue(chosen, now) ? [] : [[part, chosen]]
    }),
  )
  const reason = textIn(typed, 'reason')
  const faults: FieldFault[] = [
    ...(Object.keys(told).length === 0
      ? [{ name: 'unit', message: 'Choose what is to be read otherwise: the unit, the clock or how dates are written' }]
      : []),
    ...(reason === '' ? [{ name: 'reason', message: 'Say why it is read again' }] : []),
  ]
  if (faults.length > 0) return { ok: false, faults }
  const read = readAgainIn.safeParse({ kind: 'read-again', id: batch.id, told, reason })
  if (read.success) return { ok: true, asked: read.data }
  const named = read.error.issues.map(({ path, message }) => ({ name: String(path[path.length - 1] ?? ''), message }))
  return { ok: false, faults: named }
}

function valueIn(text: string): unknown {
  try {
    return text === '' ? undefined : (JSON.parse(text) as unknown)
  } catch {
    return text
  }
}
