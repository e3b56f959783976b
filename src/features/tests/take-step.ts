import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import type { DateReading } from '../../web/read-typed-date.ts'
import { momentIn, needed, type TypedFields, textIn } from '../../web/typed-fields.ts'
import { pickUpTest, sendToLaboratory, takeResults } from './advance-test.ts'
import { voidTest } from './correct-test.ts'
import { resultIn } from './read-test-form.ts'
import type { TestRow } from './rows.ts'
import { type PickUp, pickUp } from './schemas.ts'
import type { Step } from './step-forms.tsx'

export type StepTaken =
  | { readonly ok: true; readonly verb: (tx: Tx, act: Act) => Promise<unknown> }
  | { readonly ok: false; readonly faults: readonly FieldFault[] }

/** Reads a step's form and gives the verb to run, or what is wrong with the form. */
export function readStep(step: Step, test: TestRow, typed: TypedFields, reading: DateReading): StepTaken {
  const faults: FieldFault[] = []
  const version = Number(textIn(typed, 'version'))
  const verb = readers[step]({ test, typed, reading, faults, version })
  return verb && faults.length === 0 ? { ok: true, verb } : { ok: false, faults }
}

type Reading = { test: TestRow; typed: TypedFields; reading: DateReading; faults: FieldFault[]; version: number }
type Verb = ((tx: Tx, act: Act) => Promise<unknown>) | null

const readers: Readonly<Record<Step, (read: Reading) => Verb>> = {
  'pick-up': ({ test, typed, reading, faults, version }) => {
    const pickedUpAt = momentIn(typed, 'picked-up', reading, faults)
    const closedSince = momentIn(typed, 'closed', reading, faults)
    if (pickedUpAt === null) return needed(faults, 'picked-up', 'Say when it was picked up')
    const input: PickUp = {
      ...pickUp.parse({ pickedUpAt: new Date(pickedUpAt).toISOString(), pickedUpBy: textIn(typed, 'by') }),
      ...(closedSince === null ? {} : { closedSince }),
      closedDuring: knownIn(typed, 'closed-during'),
      systemRunning: knownIn(typed, 'system-running'),
      severeWeather: knownIn(typed, 'severe-weather'),
      tampering: knownIn(typed, 'tampering'),
      ...(textIn(typed, 'conditions-note') ? { conditionsNote: textIn(typed, 'conditions-note') } : {}),
    }
    return (tx, act) => pickUpTest(tx, act, test.id, version, input)
  },
  laboratory: ({ test, typed, reading, faults, version }) => {
    const sentToLabAt = momentIn(typed, 'sent', reading, faults)
    if (sentToLabAt === null) return needed(faults, 'sent', 'Say when it was sent')
    const input = { sentToLabAt, laboratory: textIn(typed, 'laboratory') }
    return (tx, act) => sendToLaboratory(tx, act, test.id, version, input)
  },
  results: ({ test, typed, reading, faults, version }) => {
    const resultInAt = momentIn(typed, 'in', reading, faults) ?? reading.now
    const results = test.exposures.flatMap(({ id }) => {
      const result = resultIn(typed, `result-${id}`, textIn(typed, 'unit'), faults)
      return result ? [{ exposureId: id, result }] : []
    })
    if (results.length === 0) return needed(faults, `result-${test.exposures[0]?.id}`, 'No result is filled in')
    const reason = textIn(typed, 'reason')
    return (tx, act) => takeResults(tx, act, test.id, version, { resultInAt, results, ...(reason ? { reason } : {}) })
  },
  void: ({ test, typed, faults, version }) => {
    const reason = textIn(typed, 'reason')
    if (!reason) return needed(faults, 'reason', 'Say why: the reason stays in the history')
    return (tx, act) => voidTest(tx, act, test.id, version, reason)
  },
}

const knownIn = (typed: TypedFields, name: string) => {
  const said = textIn(typed, name)
  return said === 'yes' || said === 'no' ? said : undefined
}
