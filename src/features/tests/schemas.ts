import { z } from 'zod'
import { decimalText, filledText, id, instantIn, instantOut, localDay, text } from '../../platform/http/scalars.ts'
import { evaluatedTestOut, standingOut } from '../../standing/answer-schemas.ts'
import { radonUnit, reportedResult } from './reported-result.ts'

export const testPurpose = z.enum(['pre-mitigation', 'post-mitigation', 'retest', 'real-estate', 'follow-up'])
export const testMethod = z.enum([
  'continuous-monitor',
  'activated-charcoal',
  'electret',
  'alpha-track',
  'liquid-scintillation',
  'unknown',
])
export const testSource = z.enum(['own', 'other-company', 'laboratory', 'homeowner', 'imported'])
export const exposureRole = z.enum(['measurement', 'duplicate', 'blank', 'spike'])
const yesNoUnknown = z.enum(['yes', 'no', 'unknown'])

const centimetres = z.number().min(0).max(10_000)

/** A monitor's record: one reading an interval, the first starting at `startAt`; null where one is missing. */
export const monitorRecord = z
  .strictObject({
    startAt: instantIn,
    intervalMinutes: z.number().int().min(1).max(1440),
    unit: radonUnit,
    values: z.array(decimalText.nullable()).min(1).max(200_000),
    deviceCorrectedFirstHours: z.boolean().default(false),
  })
  .meta({ id: 'MonitorRecord' })

const placement = {
  heightCm: centimetres.nullish(),
  fromOpeningCm: centimetres.nullish(),
  fromExteriorWallCm: centimetres.nullish(),
  fromHeatCm: centimetres.nullish(),
  fromObjectCm: centimetres.nullish(),
}

export const newExposure = z
  .strictObject({
    locationId: id.nullish(),
    deviceId: id.nullish(),
    kitNumber: filledText(60).nullish(),
    role: exposureRole.default('measurement'),
    pairKey: filledText(40).nullish().meta({ description: 'Exposures that share it stood side by side' }),
    startAt: instantIn.nullish(),
    stopAt: instantIn.nullish(),
    ...placement,
    result: reportedResult.nullish(),
    record: monitorRecord.nullish(),
  })
  .meta({ id: 'NewExposure' })

const conditions = {
  closedSince: instantIn.nullish().meta({ description: 'The building has been closed since then' }),
  closedDuring: yesNoUnknown.optional(),
  severeWeather: yesNoUnknown.optional(),
  systemRunning: yesNoUnknown.optional(),
  tampering: yesNoUnknown.optional(),
  conditionsNote: text(2000).optional(),
}

const facts = {
  systemId: id.nullish(),
  followsTestId: id.nullish(),
  source: testSource.optional(),
  sourceName: text(200).optional(),
  setAt: instantIn.nullish(),
  setBy: text(200).optional(),
  pickedUpAt: instantIn.nullish(),
  pickedUpBy: text(200).optional(),
  sentToLabAt: instantIn.nullish(),
  laboratory: text(200).optional(),
  resultInAt: instantIn.nullish(),
  ...conditions,
}

export const newTest = z
  .strictObject({
    purpose: testPurpose,
    method: testMethod,
    ...facts,
    exposures: z.array(newExposure).min(1).max(60),
    confirmDevices: z.boolean().optional().meta({
      description:
        'The devices were set as said, whatever the records say of where they are: recorded, and a finding tells it',
    }),
  })
  .meta({ id: 'NewTest' })
export type NewTest = z.output<typeof newTest>
export type NewExposure = z.output<typeof newExposure>

/** A correction: only what is named changes; null clears; the reason is kept with the old values. */
export const testCorrection = z
  .strictObject({
    purpose: testPurpose.optional(),
    method: testMethod.optional(),
    ...facts,
    reason: filledText(500),
  })
  .meta({ id: 'TestCorrection' })
export type TestCorrection = z.output<typeof testCorrection>

export const pickUp = z
  .strictObject({
    pickedUpAt: instantIn,
    pickedUpBy: text(200).optional(),
    ...conditions,
    exposures: z
      .array(z.strictObject({ id, stopAt: instantIn }))
      .max(60)
      .default([])
      .meta({ description: 'Stop of each exposure; those not named stop at pickedUpAt' }),
  })
  .meta({ id: 'PickUp' })
export type PickUp = z.output<typeof pickUp>

export const toLaboratory = z
  .strictObject({ sentToLabAt: instantIn, laboratory: text(200).optional() })
  .meta({ id: 'ToLaboratory' })
export type ToLaboratory = z.output<typeof toLaboratory>

export const exposureResult = z
  .strictObject({
    exposureId: id,
    startAt: instantIn.optional(),
    stopAt: instantIn.optional(),
    result: reportedResult.nullish(),
    record: monitorRecord.nullish(),
  })
  .meta({ id: 'ExposureResult' })
export type ExposureResult = z.output<typeof exposureResult>

export const resultsIn = z
  .strictObject({
    resultInAt: instantIn,
    results: z.array(exposureResult).min(1).max(60),
    reason: filledText(500).optional().meta({ description: 'Needed when a result that is already there is replaced' }),
  })
  .meta({ id: 'ResultsIn' })
export type ResultsIn = z.output<typeof resultsIn>

export const voiding = z.strictObject({ reason: filledText(500) }).meta({ id: 'Voiding' })

export const testListQuery = z.strictObject({
  propertyId: id.optional(),
  limit: z.coerce.number().int().min(1).max(200).default(50),
  cursor: z.string().max(500).optional(),
})

const reportedOut = z.object({
  value: z.string(),
  unit: radonUnit,
  qualifier: z.enum(['=', '<', '>']),
  uncertainty: z.string().nullable(),
})

const exposureOut = z
  .object({
    id,
    locationId: id.nullable(),
    locationName: z.string().nullable(),
    deviceId: id.nullable(),
    kitNumber: z.string().nullable(),
    role: exposureRole,
    pairKey: z.string().nullable(),
    startAt: instantOut.nullable(),
    stopAt: instantOut.nullable(),
    heightCm: z.number().nullable(),
    fromOpeningCm: z.number().nullable(),
    fromExteriorWallCm: z.number().nullable(),
    fromHeatCm: z.number().nullable(),
    fromObjectCm: z.number().nullable(),
    result: reportedOut.nullable(),
    record: z
      .object({ startAt: instantOut, intervalMinutes: z.number(), unit: radonUnit, readings: z.number().int() })
      .nullable(),
  })
  .meta({ id: 'Exposure' })

export const testOut = z
  .object({
    id,
    propertyId: id,
    systemId: id.nullable(),
    followsTestId: id.nullable(),
    purpose: testPurpose,
    method: testMethod,
    source: testSource,
    sourceName: z.string(),
    setAt: instantOut.nullable(),
    setBy: z.string(),
    pickedUpAt: instantOut.nullable(),
    pickedUpBy: z.string(),
    sentToLabAt: instantOut.nullable(),
    laboratory: z.string(),
    resultInAt: instantOut.nullable(),
    closedSince: instantOut.nullable(),
    closedDuring: yesNoUnknown,
    severeWeather: yesNoUnknown,
    systemRunning: yesNoUnknown,
    tampering: yesNoUnknown,
    conditionsNote: z.string(),
    acceptedAt: instantOut.nullable(),
    zone: z.string().meta({ description: "IANA zone of the home, for reading the test's days" }),
    setOn: localDay.nullable(),
    exposures: z.array(exposureOut),
    evaluation: evaluatedTestOut.nullable(),
    version: z.number().int(),
    createdAt: instantOut,
    voidedAt: instantOut.nullable(),
    voidReason: z.string().nullable(),
  })
  .meta({ id: 'Test' })

/** What a write answers: the test as it is now, and what the home's facts say together. */
export const testWithStanding = z.object({ test: testOut, standing: standingOut }).meta({ id: 'TestWithStanding' })

export const testList = z.object({ items: z.array(testOut), next: z.string().nullable() }).meta({ id: 'TestList' })
