import type { FieldFault } from '../../web/error-summary.tsx'
import type { DateReading } from '../../web/read-typed-date.ts'
import { momentIn, needed, numberIn, type TypedFields, textIn } from '../../web/typed-fields.ts'
import type { Parts } from './install-system.ts'
import { componentKind, gaugeRole, installedBy, type NewSystem, systemEventKind, systemType } from './schemas.ts'

export type FormOutcome<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly faults: readonly FieldFault[] }

const outcome = <T>(value: T | null, faults: readonly FieldFault[]): FormOutcome<T> =>
  value !== null && faults.length === 0 ? { ok: true, value } : { ok: false, faults }

/** The form of a new system as the verb takes it. */
export function readNewSystem(typed: TypedFields, reading: DateReading): FormOutcome<NewSystem> {
  const faults: FieldFault[] = []
  const type = systemType.safeParse(textIn(typed, 'type')).data ?? needed(faults, 'type', 'Choose the kind of system')
  const by = installedBy.safeParse(textIn(typed, 'installed-by')).data ?? 'unknown'
  const startedAt = momentIn(typed, 'started', reading, faults)
  const gauge = numberIn(typed, 'gauge', faults)
  const fan = {
    model: textIn(typed, 'fan-model'),
    serial: textIn(typed, 'fan-serial'),
    place: textIn(typed, 'fan-place'),
  }
  const hasFan = Object.values(fan).some(Boolean)
  const installed = startedAt === null ? {} : { installed: { at: startedAt } }
  const point = textIn(typed, 'point')
  const value = type && {
    tag: textIn(typed, 'tag') || null,
    type,
    active: textIn(typed, 'active') !== 'no',
    installedBy: by,
    installerName: textIn(typed, 'installer'),
    note: textIn(typed, 'note'),
    components: hasFan ? [{ kind: 'fan' as const, ...fan, ...installed }] : [],
    suctionPoints: point ? [{ name: point, foundationAreaId: textIn(typed, 'area') || null, since: startedAt }] : [],
    events: startedAt === null ? [] : [{ kind: 'first-start' as const, when: { at: startedAt } }],
    gaugeReadings:
      gauge === null
        ? []
        : [
            {
              role: by === 'us' ? ('start-up' as const) : ('adopted' as const),
              value: gauge,
              unit: 'in. w.c.' as const,
              at: startedAt ?? reading.now,
            },
          ],
  }
  return outcome(value, faults)
}

export const additions = ['gauge', 'event', 'component'] as const
export type Addition = (typeof additions)[number]

/** A reading, an event or a component that is added to a system. */
export function readAddition(kind: Addition, typed: TypedFields, reading: DateReading): FormOutcome<Parts> {
  const faults: FieldFault[] = []
  return outcome(readers[kind](typed, reading, faults), faults)
}

const readers: Readonly<
  Record<Addition, (typed: TypedFields, reading: DateReading, faults: FieldFault[]) => Parts | null>
> = {
  gauge(typed, reading, faults) {
    const value = numberIn(typed, 'value', faults) ?? needed(faults, 'value', 'Say what the gauge shows')
    const at = momentIn(typed, 'read', reading, faults) ?? reading.now
    const role = gaugeRole.safeParse(textIn(typed, 'role')).data ?? 'visit'
    const unit = textIn(typed, 'unit') === 'Pa' ? ('Pa' as const) : ('in. w.c.' as const)
    return value === null ? null : { gaugeReadings: [{ role, value, unit, at, note: textIn(typed, 'note') }] }
  },
  event(typed, reading, faults) {
    const kind = systemEventKind.safeParse(textIn(typed, 'kind')).data ?? needed(faults, 'kind', 'Choose what happened')
    const at = momentIn(typed, 'at', reading, faults)
    return kind && { events: [{ kind, when: at === null ? {} : { at }, note: textIn(typed, 'note') }] }
  },
  component(typed, reading, faults) {
    const kind = componentKind.safeParse(textIn(typed, 'kind')).data ?? needed(faults, 'kind', 'Choose the part')
    const at = momentIn(typed, 'installed', reading, faults)
    const said = {
      model: textIn(typed, 'model'),
      serial: textIn(typed, 'serial'),
      lot: textIn(typed, 'lot'),
      place: textIn(typed, 'place'),
    }
    return kind && { components: [{ kind, ...said, ...(at === null ? {} : { installed: { at } }) }] }
  },
}
