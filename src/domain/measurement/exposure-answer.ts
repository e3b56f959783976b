import type { ExposureAnswer, Working, WorkingLine } from '../answers.ts'
import type { ExposureFacts, SeriesFacts, TestFacts } from '../facts.ts'
import { exactText, shownText } from '../quantity/print-exact.ts'
import { lengthText } from '../series/slots.ts'
import { windowMean } from '../series/window-mean.ts'
import type { TestContext } from './test-context.ts'
import { contiguousHoursRule, type RecordWindow, recordWindowOf } from './window-limits.ts'

const WHY: Readonly<Record<RecordWindow['leftOut'][number]['why'], string>> = {
  equilibrium: 'the first hours, in which radon and its decay products come to balance',
  'closed-building': 'until the house had been closed long enough',
  'fan-start': 'until the fan had run long enough',
  gap: 'no reading',
  'outside-longest-run': 'outside the longest unbroken run',
  'not-in-place': 'the monitor was not in its place',
}

/** The exact result of one exposure: as reported, or the mean of what counts of its record. */
export function exposureAnswerOf(exposure: ExposureFacts, test: TestFacts, context: TestContext): ExposureAnswer {
  const { series, result } = exposure
  const window = recordWindowOf(exposure, test, context)
  if (!series || !window) {
    return answerFrom(exposure, {
      result: result && { value: result.value, unit: result.unit, qualifier: result.qualifier },
      uncertainty: result?.uncertainty ?? null,
      fromSeries: false,
      usableFrom: null,
      usableTo: null,
      leftOut: [],
      working: null,
    })
  }
  const mean = windowMean(series, window.runs)
  return answerFrom(exposure, {
    result: mean && { value: exactText(mean.mean, series.scale), unit: series.unit, qualifier: '=' },
    uncertainty: null,
    fromSeries: true,
    usableFrom: window.from,
    usableTo: window.to,
    leftOut: window.leftOut,
    working: recordWorking(series, window, mean, context),
  })
}

type Found = Pick<
  ExposureAnswer,
  'result' | 'uncertainty' | 'fromSeries' | 'usableFrom' | 'usableTo' | 'leftOut' | 'working'
>

// Written out field by field: a spread of an object that more fields follow costs as much as all the rest of a test.
const answerFrom = ({ id, location, role, pairKey }: ExposureFacts, found: Found): ExposureAnswer => ({
  exposureId: id,
  locationId: location?.id ?? null,
  locationName: location?.name ?? '',
  floor: location?.floor ?? null,
  livedIn: location?.livedIn ?? null,
  role,
  pairKey,
  result: found.result,
  uncertainty: found.uncertainty,
  fromSeries: found.fromSeries,
  usableFrom: found.usableFrom,
  usableTo: found.usableTo,
  leftOut: found.leftOut,
  working: found.working,
})

function recordWorking(
  series: SeriesFacts,
  window: RecordWindow,
  mean: ReturnType<typeof windowMean>,
  context: TestContext,
): Working {
  const covered = mean ? lengthText(mean.milliseconds) : '0 h'
  const lines: WorkingLine[] = window.leftOut.map(({ from, to, why }) => ({
    left: lengthText(to - from),
    relation: '→',
    right: 'left out',
    note: WHY[why],
  }))
  lines.push({
    left: lengthText(lengthOfRecord(series)),
    relation: '→',
    right: `${covered} count`,
    note: mean ? `${mean.readings} readings` : null,
  })
  if (mean) {
    const right = `${shownText(mean.mean, 3, series.scale)} ${series.unit}`
    lines.push({
      left: `sum of (reading × time) / ${covered}`,
      relation: '=',
      right,
      note: 'each reading weighted by its time',
    })
  }
  return {
    title: 'Mean of the record',
    inputs: [
      { label: 'Readings', value: String(series.values.filter(value => value !== null).length) },
      { label: 'Interval', value: lengthText(series.intervalS * 1000) },
      { label: 'First hours corrected by the device', value: series.deviceCorrectedFirstHours ? 'yes' : 'no' },
    ],
    lines,
    rule: contiguousHoursRule(window, context)?.ref ?? context.policy.rules.equilibriumHours?.ref ?? null,
    outcome: mean ? `${shownText(mean.mean, 3, series.scale)} ${series.unit}` : 'no reading counts',
  }
}

const lengthOfRecord = (series: SeriesFacts): number => series.values.length * series.intervalS * 1000
