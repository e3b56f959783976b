import type {
  ExposureRole,
  Instant,
  Qualifier,
  RadonUnit,
  TestMethod,
  TestPurpose,
  YesNoUnknown,
} from '../../domain/facts.ts'

/** A test's own columns, as the table holds them. */
export type TestColumns = {
  systemId: string | null
  followsTestId: string | null
  purpose: TestPurpose
  method: TestMethod
  source: 'own' | 'other-company' | 'laboratory' | 'homeowner' | 'imported'
  sourceName: string
  setAt: Instant | null
  setBy: string
  pickedUpAt: Instant | null
  pickedUpBy: string
  sentToLabAt: Instant | null
  laboratory: string
  resultInAt: Instant | null
  closedSince: Instant | null
  closedDuring: YesNoUnknown
  severeWeather: YesNoUnknown
  systemRunning: YesNoUnknown
  tampering: YesNoUnknown
  conditionsNote: string
}

export type ExposureRow = {
  id: string
  locationId: string | null
  locationName: string | null
  deviceId: string | null
  kitNumber: string | null
  role: ExposureRole
  pairKey: string | null
  startAt: Instant | null
  stopAt: Instant | null
  heightCm: number | null
  fromOpeningCm: number | null
  fromExteriorWallCm: number | null
  fromHeatCm: number | null
  fromObjectCm: number | null
  result: { value: string; unit: RadonUnit; qualifier: Qualifier; uncertainty: string | null } | null
  record: { startAt: Instant; intervalMinutes: number; unit: RadonUnit; readings: number } | null
}

export type TestRow = TestColumns & {
  id: string
  propertyId: string
  zone: string
  setOn: string | null
  acceptedAt: Instant | null
  version: number
  createdAt: Instant
  voidedAt: Instant | null
  voidReason: string | null
  exposures: ExposureRow[]
  /** EvaluatedTest as JSON text, null before the first reckoning. */
  evaluation: string | null
  /** Tells one evaluation of the same facts from another. */
  evaluationTag: string | null
}
