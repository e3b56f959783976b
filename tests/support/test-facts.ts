import type { ExposureFacts, LocationFacts, SeriesFacts, SystemFacts, TestFacts } from '../../src/domain/facts.ts'

export const HOUR = 3_600_000
/** Monday 3 November 2025, 10:00 in Chicago. */
export const SET_AT = Date.UTC(2025, 10, 3, 16)

export const BASEMENT: LocationFacts = {
  id: 'basement',
  name: 'Basement',
  floor: -1,
  livedIn: true,
  roomKind: 'family room',
}

/** An hourly record; `value(i)` in tenths of the unit, null for a reading that is missing. */
export const hourly = (
  hours: number,
  value: (i: number) => number | null = () => 30,
  over: Partial<SeriesFacts> = {},
): SeriesFacts => ({
  startAt: SET_AT,
  intervalS: 3600,
  unit: 'pCi/L',
  scale: 1,
  values: Array.from({ length: hours }, (_, i) => value(i)),
  offsetsS: [],
  deviceCorrectedFirstHours: false,
  ...over,
})

/** One device that stood for 48 hours where it should, in calibration, with a single result. */
export const anExposure = (over: Partial<ExposureFacts> = {}): ExposureFacts => ({
  id: 'exposure',
  location: BASEMENT,
  role: 'measurement',
  pairKey: null,
  startAt: SET_AT,
  stopAt: SET_AT + 48 * HOUR,
  placement: { heightCm: 80, fromOpeningCm: 120, fromExteriorWallCm: 60, fromHeatCm: 200, fromObjectCm: 30 },
  deviceId: 'device',
  againstRecords: null,
  calibrations: [{ calibratedOn: '2025-02-01', validUntil: '2026-02-01' }],
  lotExpiresOn: '2026-06-30',
  result: { value: '3.0', unit: 'pCi/L', qualifier: '=', uncertainty: null },
  series: null,
  ...over,
})

/** With a record instead of a result; stands as long as the record is. */
export const aRecording = (series: SeriesFacts, over: Partial<ExposureFacts> = {}): ExposureFacts =>
  anExposure({
    startAt: series.startAt,
    stopAt: series.startAt + series.values.length * series.intervalS * 1000,
    result: null,
    series,
    ...over,
  })

/** A test to which no rule objects: closed since a day before, undisturbed, in calm weather. */
export const aTest = (over: Partial<TestFacts> = {}): TestFacts => ({
  id: 'test',
  version: 1,
  systemId: null,
  purpose: 'pre-mitigation',
  method: 'continuous-monitor',
  source: 'own',
  setAt: SET_AT,
  pickedUpAt: null,
  sentToLabAt: null,
  resultInAt: null,
  closedSince: SET_AT - 24 * HOUR,
  closedDuring: 'yes',
  severeWeather: 'no',
  systemRunning: 'yes',
  tampering: 'no',
  acceptedAt: null,
  exposures: [anExposure()],
  ...over,
})

/** A system whose fan came on at an instant, and later went off and on. */
export const aSystem = (
  events: readonly (readonly ['first-start' | 'off' | 'on', number | string])[],
): SystemFacts => ({
  id: 'system',
  type: 'sub-slab',
  active: true,
  installedBy: 'us',
  events: events.map(([kind, when], i) => ({
    id: `event-${i}`,
    kind,
    when: typeof when === 'number' ? { at: when, edtf: null } : { at: null, edtf: when },
  })),
  components: [],
})
