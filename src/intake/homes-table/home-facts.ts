import type { Edtf, RadonUnit, TestMethod, TestPurpose } from '../../domain/facts.ts'
import type { RowFault } from '../table/row-fault.ts'

/** A row's place in a file. */
export type Place = { readonly sheet: string; readonly line: number }

export type AddressCells = {
  readonly street: string
  readonly unit: string
  readonly city: string
  readonly region: string
  readonly postcode: string
  readonly country: string
}

/** Someone named by a row. Unknown stays null. */
export type PersonCells = {
  readonly kind: 'person' | 'company'
  readonly name: string
  /** E.164. */
  readonly phone: string | null
  readonly email: string | null
  /** Further numbers and addresses, as written. */
  readonly note: string
}

export type FanCells = { readonly model: string; readonly serial: string; readonly installed: Edtf | null }
export type GaugeCells = { readonly value: string; readonly unit: 'in. w.c.' | 'Pa' }
export type SystemCells = {
  readonly tag: string | null
  /** null: the row does not say. */
  readonly type: string | null
  readonly installed: Edtf | null
  readonly installedBy: 'us' | 'another' | 'builder' | 'owner' | 'unknown'
  readonly installerName: string
  readonly label: string
  readonly fans: readonly FanCells[]
  readonly gauges: readonly GaugeCells[]
  readonly alarm: string | null
}

export type TestCells = {
  readonly purpose: TestPurpose
  readonly method: TestMethod
  readonly value: string
  readonly qualifier: '=' | '<' | '>'
  readonly unit: RadonUnit
  /** A day; null where the row gives none, or only roughly. */
  readonly day: string | null
  /** The date as written, where it is no day. */
  readonly dateAsWritten: string
}

/** What one row says of a home. */
export type HomeCells = {
  readonly place: Place
  readonly id: string | null
  readonly address: AddressCells
  readonly yearBuilt: number | null
  readonly foundation: string | null
  readonly owner: PersonCells | null
  readonly ownerSince: Edtf | null
  readonly secondOwner: PersonCells | null
  readonly tenant: PersonCells | null
  readonly manager: PersonCells | null
  readonly system: SystemCells | null
  readonly tests: readonly TestCells[]
  readonly notes: readonly string[]
}

export type RowRead =
  | { readonly kind: 'home'; readonly home: HomeCells; readonly remarks: readonly RowFault[] }
  | { readonly kind: 'skipped'; readonly why: SkipReason }
  | { readonly kind: 'bad'; readonly faults: readonly RowFault[] }

/** Rows that are no homes, and are told by their number. */
export type SkipReason = 'total' | 'heading' | 'header-again'

/** Remarks, rows passed over and likely doubles that are held one by one; of more there is a number. */
export const MOST_LISTED = 1_000
