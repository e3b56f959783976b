import type { FieldFault } from '../../web/error-summary.tsx'
import type { HomesLook } from '../homes-table/kept-look.ts'
import type { HomesProposed } from '../homes-table/propose-homes.ts'

/** What the page of an old table of homes is made of. */
export type HomesImportProps = {
  readonly id: string
  readonly version: number
  readonly fileName: string
  readonly csrf: string
  readonly formKey: string
  readonly proposed: HomesProposed
  readonly dryRun: HomesLook | null
  readonly alreadySaid: string | null
  /** Why the last attempt was not written; empty when there was none. */
  readonly failure: string
  readonly faults: readonly FieldFault[]
}
