import type { FieldFault } from '../../web/error-summary.tsx'
import type { DateReading } from '../../web/read-typed-date.ts'
import { momentIn, needed, numberIn, type TypedFields, textIn } from '../../web/typed-fields.ts'
import type { FormOutcome } from './read-system-form.ts'
import { type Activation, type NewBaseline, systemType } from './schemas.ts'

const unitIn = (typed: TypedFields) => (textIn(typed, 'unit') === 'Pa' ? ('Pa' as const) : ('in. w.c.' as const))

const sound = <T>(value: T | null, faults: readonly FieldFault[]): FormOutcome<T> =>
  value !== null && faults.length === 0 ? { ok: true, value } : { ok: false, faults }

/** The reading that is adopted, as its form says it; without a time it was read now. */
export function readBaseline(typed: TypedFields, reading: DateReading): FormOutcome<NewBaseline> {
  const faults: FieldFault[] = []
  const value = numberIn(typed, 'value', faults) ?? needed(faults, 'value', 'Say what the gauge shows')
  const at = momentIn(typed, 'read', reading, faults) ?? reading.now
  const reason = textIn(typed, 'reason') || needed(faults, 'reason', 'Say why: it is told wherever the value is')
  const said = value && reason && { value, reason, unit: unitIn(typed), at, readBy: textIn(typed, 'read-by') }
  return sound(said || null, faults)
}

/** The fan that went into a passive pipe. */
export function readActivation(typed: TypedFields, reading: DateReading): FormOutcome<Activation> {
  const faults: FieldFault[] = []
  const type = systemType.exclude(['passive-stack']).safeParse(textIn(typed, 'type')).data
  if (!type) needed(faults, 'type', 'Choose the kind of system')
  const startedAt = momentIn(typed, 'started', reading, faults) ?? reading.now
  const value = numberIn(typed, 'value', faults)
  const fan = {
    model: textIn(typed, 'fan-model'),
    serial: textIn(typed, 'fan-serial'),
    place: textIn(typed, 'fan-place'),
  }
  const baseline = value === null ? {} : { baseline: { value, unit: unitIn(typed), readBy: textIn(typed, 'read-by') } }
  return sound(type ? { startedAt, type, fan, ...baseline } : null, faults)
}
