import type { NewExposure } from './schemas.ts'

/** A fault of the request that no later fact could mend. */
export type Contradiction = { pointer: string; code: string; detail: string }

type Moments = {
  setAt?: number | null
  pickedUpAt?: number | null
  sentToLabAt?: number | null
  resultInAt?: number | null
  closedSince?: number | null
}

const order = ['setAt', 'pickedUpAt', 'sentToLabAt', 'resultInAt'] as const
// A phone's clock runs a little fast now and then; a fact of tomorrow is a typing error.
const clockTolerance = 5 * 60_000

/** What is self-contradictory or impossible in a test's facts, all of it; a breach of protocol is a finding, not here. */
export function contradictionsOf(test: Moments, now: number): Contradiction[] {
  const faults: Contradiction[] = []
  let before: (typeof order)[number] | null = null
  for (const name of order) {
    const moment = test[name]
    if (moment == null) continue
    if (moment > now + clockTolerance)
      faults.push({
        pointer: `/${name}`,
        code: 'in-the-future',
        detail: `${name} lies in the future: correct its date`,
      })
    if (before && moment < test[before]!)
      faults.push({
        pointer: `/${name}`,
        code: 'out-of-order',
        detail: `${name} lies before ${before}: correct one of the two`,
      })
    before = name
  }
  return faults
}

/** The same for one exposure; `at` is its pointer, such as `/exposures/0`. */
export function exposureContradictionsOf(exposure: Partial<NewExposure>, now: number, at: string): Contradiction[] {
  const faults: Contradiction[] = []
  const { startAt, stopAt, result, record } = exposure
  if (startAt != null && stopAt != null && stopAt <= startAt)
    faults.push({
      pointer: `${at}/stopAt`,
      code: 'out-of-order',
      detail: 'stopAt is not after startAt: correct one of the two',
    })
  for (const [name, moment] of Object.entries({ startAt, stopAt }))
    if (moment != null && moment > now + clockTolerance)
      faults.push({
        pointer: `${at}/${name}`,
        code: 'in-the-future',
        detail: `${name} lies in the future: correct its date`,
      })
  if (result && record)
    faults.push({
      pointer: `${at}/result`,
      code: 'two-results',
      detail: 'holds both a result and a record: send the record alone, its mean is worked out from it',
    })
  if (record?.values.every(value => value === null))
    faults.push({ pointer: `${at}/record/values`, code: 'empty-record', detail: 'holds no reading: send at least one' })
  if (record && record.startAt + record.intervalMinutes * 60_000 * record.values.length > now + clockTolerance)
    faults.push({
      pointer: `${at}/record`,
      code: 'in-the-future',
      detail: 'ends in the future: correct startAt or the interval',
    })
  return faults
}
