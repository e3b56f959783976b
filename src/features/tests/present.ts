import type { z } from 'zod'
import type { EvaluatedTest } from '../../domain/answers.ts'
import { instantText, instantTextOrNull } from '../../platform/http/scalars.ts'
import { presentEvaluatedTest } from '../../standing/present-standing.ts'
import type { ExposureRow, TestRow } from './rows.ts'
import type { testOut } from './schemas.ts'

/** A test as the API shows it; nothing appears here that is not named. */
export const presentTest = (test: TestRow): z.output<typeof testOut> => ({
  id: test.id,
  propertyId: test.propertyId,
  systemId: test.systemId,
  followsTestId: test.followsTestId,
  purpose: test.purpose,
  method: test.method,
  source: test.source,
  sourceName: test.sourceName,
  setAt: instantTextOrNull(test.setAt),
  setBy: test.setBy,
  pickedUpAt: instantTextOrNull(test.pickedUpAt),
  pickedUpBy: test.pickedUpBy,
  sentToLabAt: instantTextOrNull(test.sentToLabAt),
  laboratory: test.laboratory,
  resultInAt: instantTextOrNull(test.resultInAt),
  closedSince: instantTextOrNull(test.closedSince),
  closedDuring: test.closedDuring,
  severeWeather: test.severeWeather,
  systemRunning: test.systemRunning,
  tampering: test.tampering,
  conditionsNote: test.conditionsNote,
  acceptedAt: instantTextOrNull(test.acceptedAt),
  zone: test.zone,
  setOn: test.setOn,
  exposures: test.exposures.map(presentExposure),
  evaluation: evaluationOf(test),
  version: test.version,
  createdAt: instantText(test.createdAt),
  voidedAt: instantTextOrNull(test.voidedAt),
  voidReason: test.voidReason,
})

// A voided test is out of the reckoning: what was once worked out for it no longer says anything.
const evaluationOf = (test: TestRow) =>
  test.evaluation && test.voidedAt === null ? presentEvaluatedTest(JSON.parse(test.evaluation) as EvaluatedTest) : null

const presentExposure = (exposure: ExposureRow) => ({
  id: exposure.id,
  locationId: exposure.locationId,
  locationName: exposure.locationName,
  deviceId: exposure.deviceId,
  kitNumber: exposure.kitNumber,
  role: exposure.role,
  pairKey: exposure.pairKey,
  startAt: instantTextOrNull(exposure.startAt),
  stopAt: instantTextOrNull(exposure.stopAt),
  heightCm: exposure.heightCm,
  fromOpeningCm: exposure.fromOpeningCm,
  fromExteriorWallCm: exposure.fromExteriorWallCm,
  fromHeatCm: exposure.fromHeatCm,
  fromObjectCm: exposure.fromObjectCm,
  result: exposure.result,
  record: exposure.record && { ...exposure.record, startAt: instantText(exposure.record.startAt) },
})
