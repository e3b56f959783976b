import type { Finding } from '../answers.ts'
import { endOfDay, localDayOf } from '../calendar/local-day.ts'
import type { ExposureFacts, TestFacts } from '../facts.ts'
import { exactFrom } from '../quantity/exact.ts'
import { lengthText } from '../series/slots.ts'
import { invalidates, warns } from './finding.ts'
import { periodOf, type TestContext } from './test-context.ts'

const placeWords = {
  elsewhere: 'by the records it stood in another test at that time',
  away: 'by the records it was away at that time',
  lost: 'by the records it was lost at that time',
  retired: 'by the records it was out of use by then',
} as const

/** What the records said against a device that measured all the same, and whether it was good for it. */
export const deviceFindings = (exposure: ExposureFacts, test: TestFacts, context: TestContext): readonly Finding[] => [
  ...placeFindings(exposure),
  ...conditionOfDevice(exposure, test, context),
]

function placeFindings({ id, startAt, againstRecords }: ExposureFacts): readonly Finding[] {
  if (againstRecords === null) return []
  const about = { exposureId: id, rule: null, at: startAt, allowed: 'one place at a time for a monitor' }
  return [warns('device-elsewhere', { ...about, found: placeWords[againstRecords] })]
}

// A monitor must be in calibration, and a kit in date, to the end of the test.
function conditionOfDevice(exposure: ExposureFacts, test: TestFacts, context: TestContext): readonly Finding[] {
  const { from, to } = periodOf(exposure, test)
  const about = { exposureId: exposure.id, rule: context.policy.rules.calibrationInterval?.ref ?? null }
  if (test.method === 'continuous-monitor') {
    const allowed = 'calibration valid to the end of the test'
    if (exposure.calibrations.length === 0) return [warns('calibration', { ...about, allowed, found: 'not recorded' })]
    if (from === null || to === null) return []
    const [first, last] = [localDayOf(from, context.zone), localDayOf(to - 1, context.zone)]
    if (exposure.calibrations.some(c => c.calibratedOn <= first && c.validUntil >= last)) return []
    const begun = exposure.calibrations
      .filter(c => c.calibratedOn <= first)
      .map(c => c.validUntil)
      .sort()
      .at(-1)
    return [
      begun === undefined
        ? invalidates('calibration', { ...about, allowed, at: from, found: 'first calibrated after the test began' })
        : invalidates('calibration', {
            ...about,
            allowed,
            at: Math.max(from, endOfDay(begun, context.zone)),
            found: `valid until ${begun}`,
          }),
    ]
  }
  const expires = exposure.lotExpiresOn
  const kit = { exposureId: exposure.id, rule: null, allowed: 'the lot in date to the end of the test' }
  if (expires === null) return [warns('lot-expiry', { ...kit, found: 'not recorded' })]
  if (to === null || expires >= localDayOf(to - 1, context.zone)) return []
  return [invalidates('lot-expiry', { ...kit, at: endOfDay(expires, context.zone), found: `expired after ${expires}` })]
}

/** A record that repeats one figure this long does not measure. */
const STUCK_READINGS = 24

/** Values that no air can have, and records that stand still. */
export function valueFindings(exposure: ExposureFacts): readonly Finding[] {
  const { series, result } = exposure
  const about = { exposureId: exposure.id, rule: null, allowed: 'readings from zero upward' }
  const negative = series?.values.findIndex(value => value !== null && value < 0) ?? -1
  if (series && negative >= 0) {
    const at = series.startAt + negative * series.intervalS * 1000
    return [invalidates('impossible-value', { ...about, at, found: 'a reading below zero' })]
  }
  if (!series && result && (exactFrom(result.value)?.compare(0) ?? -1) < 0)
    return [invalidates('impossible-value', { ...about, found: `${result.value} ${result.unit}` })]
  if (!series || series.values.length < STUCK_READINGS) return []
  const [first] = series.values
  if (series.values.some(value => value !== first)) return []
  const found = `the same figure for ${lengthText(series.values.length * series.intervalS * 1000)}`
  return [warns('stuck', { ...about, at: series.startAt, allowed: 'readings that vary', found })]
}
