import { z } from 'zod'

/** Raised when an export can no longer be read as the one before it. */
export const exportFormat = 1

/** Says what an export is; it stands in it as `manifest.json`. */
export const descriptionSchema = z.object({
  format: z.literal(exportFormat),
  /** Of the program that wrote it. */
  version: z.string(),
  takenAt: z.string(),
  /** The schema's level: the migrations it had been through. */
  migrations: z.array(z.string()),
  /** A transaction number later than all that wrote the records. */
  transaction: z.string(),
  tables: z.array(z.object({ name: z.string(), rows: z.number(), columns: z.array(z.string()) })),
  files: z.object({ count: z.number(), bytes: z.number() }),
  counters: z.array(z.object({ table: z.string(), column: z.string(), last: z.string(), used: z.boolean() })),
  leftOut: z.array(z.object({ what: z.string(), why: z.string(), follows: z.string() })),
})
export type Description = z.infer<typeof descriptionSchema>
export type DescribedTable = Description['tables'][number]

export const manifestName = 'manifest.json'
/** In the form that `sha256sum --check` reads. */
export const sumsName = 'SHA256SUMS'
export const linesPart = (table: string): string => `ndjson/${table}.ndjson`
export const cellsPart = (table: string): string => `csv/${table}.csv`
export const filesFolder = 'files/'
