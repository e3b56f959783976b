import { z } from 'zod'
import { filledText, id, instantIn, instantOut, text } from '../platform/http/scalars.ts'
import { COLUMN_ROLES, readingSchema } from './monitor-file/reading.ts'
import { lineFault, question, rowShown } from './proposal-schemas.ts'
import { tableReadingSchema } from './results-table/table-reading.ts'

/** Parts of a reading that a person or a program tells; the rest is read off the file. */
export const toldOfRecord = z
  .strictObject({
    delimiter: readingSchema.shape.delimiter.optional(),
    decimalMark: z.enum(['.', ',']).optional(),
    columns: readingSchema.shape.columns.optional(),
    dateOrder: z.enum(['ymd', 'dmy', 'mdy']).optional(),
    hours: readingSchema.shape.hours.optional(),
    unit: z.enum(['pCi/L', 'Bq/m3']).optional(),
    clock: readingSchema.shape.clock.unwrap().optional(),
    stamp: readingSchema.shape.stamp.optional(),
    repeatedHour: z.enum(['in-order', 'file-order', 'leave-out']).optional(),
    deviceCorrectedFirstHours: z.boolean().optional(),
  })
  .meta({
    id: 'ToldOfRecord',
    description: 'Parts of a monitor file’s reading that are told; the rest is read off the file',
  })

const centimetres = z.number().min(0).max(10_000).nullish()
const placed = z.strictObject({
  locationId: id.nullish(),
  deviceId: id.nullish(),
  heightCm: centimetres,
  fromOpeningCm: centimetres,
  fromExteriorWallCm: centimetres,
  fromHeatCm: centimetres,
  fromObjectCm: centimetres,
})
const yesNoUnknown = z.enum(['yes', 'no', 'unknown']).optional()

const newTestOfRecord = z
  .strictObject({
    propertyId: id,
    purpose: tableReadingSchema.shape.constants.shape.purpose.unwrap(),
    systemId: id.nullish(),
    followsTestId: id.nullish(),
    source: tableReadingSchema.shape.constants.shape.source.optional(),
    sourceName: text(200).optional(),
    setAt: instantIn.nullish(),
    setBy: text(200).optional(),
    pickedUpAt: instantIn.nullish(),
    pickedUpBy: text(200).optional(),
    closedSince: instantIn.nullish(),
    closedDuring: yesNoUnknown,
    severeWeather: yesNoUnknown,
    systemRunning: yesNoUnknown,
    tampering: yesNoUnknown,
    conditionsNote: text(2000).optional(),
    exposure: placed,
  })
  .meta({ id: 'NewTestOfRecord', description: 'A new test at a home, by a continuous monitor' })
const waitingExposure = z
  .strictObject({
    testId: id,
    exposureId: id,
    version: z.number().int().min(1).meta({ description: 'Version of the test that the caller read' }),
    reason: filledText(500).optional().meta({ description: 'Needed when a result that is already there is replaced' }),
  })
  .meta({ id: 'WaitingExposure', description: 'An exposure of a test that waits for its record' })

/** Where a monitor's record goes. */
export const recordTarget = z.union([waitingExposure, newTestOfRecord])
export type RecordTarget = z.output<typeof recordTarget>

export const commitRecordBody = z
  .strictObject({
    reading: readingSchema
      .optional()
      .meta({ description: 'Settled in every part; without it the proposed reading holds' }),
    target: recordTarget,
    saveReadingAs: filledText(100)
      .optional()
      .meta({ description: 'Keep the reading under this name for the next file' }),
    again: z.boolean().default(false).meta({ description: 'Import the same bytes a second time' }),
  })
  .meta({ id: 'CommitRecord' })
const how = z.object({ by: z.enum(['seen', 'assumed', 'asked', 'told']), why: z.string() })

export const recordProposalOut = z
  .object({
    reading: readingSchema.nullable(),
    how: z.record(z.string(), how),
    questions: z.array(question),
    sentence: z.array(z.object({ text: z.string(), part: z.string().nullable(), by: z.string().nullable() })),
    notes: z.array(z.string()),
    faults: z.array(lineFault),
    faultCount: z.number().int(),
    preview: z.array(rowShown),
    points: z.array(z.object({ at: instantOut, value: z.number().nullable() })),
    readings: z.number().int().nullable(),
    intervalS: z.number().int().nullable(),
    startAt: instantOut.nullable(),
    columnRoles: z.array(z.enum(COLUMN_ROLES)),
  })
  .meta({ id: 'RecordProposal' })
