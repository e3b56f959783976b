import { z } from 'zod'
import { filledText, id, instantIn, instantOut, text } from '../platform/http/scalars.ts'
import { isUploadedFile, type UploadedFile } from '../platform/http/upload-body.ts'
import { homesMappingSchema, homesReadingSchema } from './homes-table/homes-reading.ts'
import { COLUMN_ROLES, readingSchema } from './monitor-file/reading.ts'
import { tableReadingSchema } from './results-table/table-reading.ts'

export const importKind = z.enum(['monitor-record', 'results-table', 'homes-table'])
const rowFault = z.object({
  sheet: z.string().optional().meta({ description: 'Of a workbook' }),
  line: z.number().int(),
  column: z.string(),
  value: z.string(),
  problem: z.string(),
  remedy: z.string(),
})
const lineFault = z.object({
  line: z.number().int().nullable(),
  code: z.string(),
  problem: z.string(),
  remedy: z.string(),
  content: z.string(),
})

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

const tableConstants = tableReadingSchema.shape.constants
export const toldOfTable = z
  .strictObject({
    delimiter: tableReadingSchema.shape.delimiter.optional(),
    decimalMark: z.enum(['.', ',']).optional(),
    columns: tableReadingSchema.shape.columns.optional(),
    dateOrder: z.enum(['ymd', 'dmy', 'mdy']).optional(),
    unknownHomes: tableReadingSchema.shape.unknownHomes.optional(),
    constants: tableConstants.partial().optional(),
  })
  .meta({ id: 'ToldOfTable', description: 'Parts of a table’s reading that are told; the rest is read off the file' })

const homesConstants = homesReadingSchema.shape.constants
export const toldOfHomes = z
  .strictObject({
    delimiter: homesReadingSchema.shape.delimiter.unwrap().optional(),
    sheets: homesReadingSchema.shape.sheets.optional(),
    decimalMark: z.enum(['.', ',']).optional(),
    dateOrder: z.enum(['ymd', 'dmy', 'mdy']).optional(),
    badRows: homesReadingSchema.shape.badRows.optional(),
    constants: homesConstants.partial().optional(),
    doubles: homesReadingSchema.shape.doubles.optional(),
  })
  .meta({
    id: 'ToldOfHomes',
    description: 'Parts of a homes table’s reading that are told; the rest is read off the file',
  })
const told = z.union([toldOfRecord, toldOfTable, toldOfHomes])

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
export const commitTableBody = z
  .strictObject({ reading: tableReadingSchema.optional(), again: z.boolean().default(false) })
  .meta({ id: 'CommitTable' })
export const commitHomesBody = z
  .strictObject({
    reading: homesReadingSchema.optional(),
    saveReadingAs: filledText(100).optional().meta({ description: 'Keep what the columns hold under this name' }),
    again: z.boolean().default(false),
  })
  .meta({ id: 'CommitHomes' })
export const commitBody = z.union([commitRecordBody, commitTableBody, commitHomesBody])
export type CommitBody = z.output<typeof commitBody>

const jsonText = <T extends z.ZodType>(schema: T) =>
  z
    .string()
    .max(200_000)
    .transform((text, context) => {
      try {
        return JSON.parse(text) as unknown
      } catch {
        context.addIssue('is no JSON')
        return z.NEVER
      }
    })
    .pipe(schema)

const file = z
  .any()
  .refine((value): value is UploadedFile => isUploadedFile(value), 'is no file: send it as a part with a file name')
  .meta({ type: 'string', format: 'binary' })

export const newImport = z
  .strictObject({
    file,
    kind: importKind,
    propertyId: id.optional().meta({ description: 'The home, whose zone the monitor’s clock is taken to show' }),
    savedReading: filledText(100).optional().meta({ description: 'Name of a reading kept before' }),
    told: jsonText(told).optional().meta({ description: 'JSON: parts of the reading that are told' }),
    commit: jsonText(commitBody).optional().meta({ description: 'JSON: commit at once, with an explicit reading' }),
  })
  .meta({ id: 'NewImport' })

export const importChange = z.strictObject({ told }).meta({ id: 'ImportChange' })

const question = z.object({
  part: z.string(),
  text: z.string(),
  choices: z.array(z.object({ value: z.unknown(), label: z.string() })),
})
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
    preview: z.array(z.object({ line: z.number().int(), cells: z.array(z.string()) })),
    points: z.array(z.object({ at: instantOut, value: z.number().nullable() })),
    readings: z.number().int().nullable(),
    intervalS: z.number().int().nullable(),
    startAt: instantOut.nullable(),
    columnRoles: z.array(z.enum(COLUMN_ROLES)),
  })
  .meta({ id: 'RecordProposal' })

export const tableProposalOut = z
  .object({
    reading: tableReadingSchema.nullable(),
    questions: z.array(question.omit({ choices: true })),
    rows: z.number().int(),
    preview: z.array(z.object({ line: z.number().int(), cells: z.array(z.string()) })),
    faults: z.array(lineFault),
    dryRun: z
      .object({
        fresh: z.number().int(),
        same: z.number().int(),
        bad: z.number().int(),
        homesToTakeUp: z.number().int(),
        faults: z.array(rowFault),
      })
      .nullable(),
  })
  .meta({ id: 'TableProposal' })

const homesCounts = z
  .object({
    fresh: z.number().int().meta({ description: 'Homes taken up' }),
    added: z.number().int().meta({ description: 'Homes on record that something is added to' }),
    same: z.number().int().meta({ description: 'Homes on record that know all of it' }),
    people: z.number().int(),
    systems: z.number().int(),
    tests: z.number().int(),
    notes: z.number().int(),
    joinedRows: z.number().int().meta({ description: 'Rows that are part of a home another row began' }),
    skippedRows: z.number().int().meta({ description: 'Totals, headings and repeated headers' }),
    bad: z.number().int(),
    remarks: z.number().int().meta({ description: 'Cells that were not understood and are kept as notes' }),
    undecided: z.number().int().meta({ description: 'Likely doubles nobody has decided on' }),
    zonesAssumed: z.number().int().meta({ description: 'Homes whose time zone the address does not tell' }),
  })
  .meta({ id: 'HomesCounts' })
const double = z
  .object({
    id: z.string().meta({ description: 'The key of this pair in `doubles`' }),
    line: z.number().int(),
    address: z.string(),
    owner: z.string().nullable(),
    otherKind: z.enum(['file', 'record']),
    otherId: id.nullable().meta({ description: 'The home on record' }),
    otherLine: z.number().int().nullable(),
    otherAddress: z.string(),
    otherOwner: z.string().nullable(),
    why: z.string(),
    said: z.enum(['same', 'other']).nullable(),
  })
  .meta({ id: 'LikelyDouble' })

export const homesProposalOut = z
  .object({
    reading: homesReadingSchema.nullable(),
    questions: z.array(question.omit({ choices: true })),
    hints: z.array(z.string()).meta({ description: 'What holds for the whole table and needs no answer' }),
    rows: z.number().int(),
    columns: z.array(
      z.object({
        sheet: z.string(),
        index: z.number().int(),
        name: z.string(),
        role: z.string(),
        examples: z.array(z.string()),
      }),
    ),
    faults: z.array(lineFault),
    dryRun: z
      .object({
        counts: homesCounts,
        faults: z.array(rowFault),
        remarks: z.array(rowFault),
        skipped: z.array(z.object({ sheet: z.string(), line: z.number().int(), why: z.string() })),
        doubles: z.array(double),
      })
      .nullable(),
  })
  .meta({ id: 'HomesProposal' })

export const importOut = z
  .object({
    id,
    kind: importKind,
    state: z.enum(['proposed', 'committing', 'committed', 'undone']),
    fileName: z.string(),
    sha256: z.string(),
    size: z.number().int(),
    propertyId: id.nullable(),
    testId: id.nullable(),
    summary: z
      .object({
        made: z.number().int(),
        same: z.number().int(),
        homesTakenUp: z.array(id),
        homes: homesCounts.optional().meta({ description: 'Of a table of homes' }),
        left: z
          .array(z.object({ propertyId: id, address: z.string(), why: z.string() }))
          .optional()
          .meta({ description: 'Homes that an undoing left, and why' }),
      })
      .nullable(),
    progress: z
      .object({ done: z.number().int(), total: z.number().int() })
      .nullable()
      .meta({ description: 'Homes written so far, while it is being committed' }),
    failure: z.string().meta({ description: 'Why an import that was begun was not written; empty otherwise' }),
    alreadyImported: z.object({ importId: id, committedAt: instantOut, said: z.string() }).nullable(),
    record: recordProposalOut.nullable(),
    table: tableProposalOut.nullable(),
    homes: homesProposalOut.nullable(),
    version: z.number().int(),
    createdAt: instantOut,
    committedAt: instantOut.nullable(),
    undoneAt: instantOut.nullable(),
  })
  .meta({ id: 'Import' })

export const importListQuery = z.strictObject({
  limit: z.coerce.number().int().min(1).max(200).default(50),
  cursor: z.string().max(500).optional(),
})
export const importList = z
  .object({
    items: z.array(importOut.omit({ record: true, table: true, homes: true, progress: true, alreadyImported: true })),
    next: z.string().nullable(),
  })
  .meta({ id: 'ImportList' })
export const savedReadingOut = z
  .object({ id, kind: importKind, name: z.string(), reading: z.union([toldOfRecord, homesMappingSchema]) })
  .meta({ id: 'SavedReading' })
export const savedReadingList = z.object({ items: z.array(savedReadingOut) }).meta({ id: 'SavedReadingList' })
