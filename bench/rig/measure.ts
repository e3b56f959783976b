import type { DatabaseServer } from './database-server.ts'
import type { Finding } from './finding.ts'

/** What a measure is given: a database server of its own, and whether to take its full time. */
export type Bench = { readonly server: DatabaseServer; readonly full: boolean }
export type Measure = (bench: Bench) => Promise<readonly Finding[]>
