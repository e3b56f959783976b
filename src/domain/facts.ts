/**
 * The facts of one home, as the reckoning sees them: plain, readonly, complete.
 *
 * Every instant is epoch milliseconds UTC; every local day is `YYYY-MM-DD` in the home's zone.
 * `null` means "not known", which is a value: what follows from it is undetermined, never assumed.
 * Voided facts are not here.
 */

/** Epoch milliseconds, UTC. */
export type Instant = number
/** `YYYY-MM-DD`, in the zone that stands beside it. */
export type LocalDay = string
/** Extended Date/Time Format level 1 (ISO 8601-2): `2011`, `2011-21` (spring), `2009?`. */
export type Edtf = string

export type RadonUnit = 'pCi/L' | 'Bq/m3'
/** `<` below the detection limit, `>` over the device's range. */
export type Qualifier = '=' | '<' | '>'
export type YesNoUnknown = 'yes' | 'no' | 'unknown'

/** A result as it was reported. `value` and `uncertainty` are decimal text; nothing here is a float. */
export type Reported = {
  readonly value: string
  readonly unit: RadonUnit
  readonly qualifier: Qualifier
  readonly uncertainty: string | null
}

/** A moment that may be known exactly, roughly, or not at all. */
export type When = { readonly at: Instant | null; readonly edtf: Edtf | null }

export type BuildingUse = 'home' | 'rented-home' | 'school' | 'workplace' | 'public-building'
export type TestPurpose = 'pre-mitigation' | 'post-mitigation' | 'retest' | 'real-estate' | 'follow-up'
export type TestMethod =
  | 'continuous-monitor'
  | 'activated-charcoal'
  | 'electret'
  | 'alpha-track'
  | 'liquid-scintillation'
  | 'unknown'
export type ExposureRole = 'measurement' | 'duplicate' | 'blank' | 'spike'

export type LocationFacts = {
  readonly id: string
  readonly name: string
  /** -1 basement, 0 ground, 1 the first above it. */
  readonly floor: number
  readonly livedIn: boolean | null
  readonly roomKind: string
}

/** A monitor's record: `values[i]` scaled by 10^-scale in `unit`, for the interval starting at startAt + i·intervalS (+ offset). */
export type SeriesFacts = {
  readonly startAt: Instant
  readonly intervalS: number
  readonly unit: RadonUnit
  readonly scale: number
  /** null where a reading is missing. */
  readonly values: readonly (number | null)[]
  /** Drift of each stamp from the grid in seconds; empty when there is none. */
  readonly offsetsS: readonly number[]
  readonly deviceCorrectedFirstHours: boolean
}

export type PlacementFacts = {
  readonly heightCm: number | null
  readonly fromOpeningCm: number | null
  readonly fromExteriorWallCm: number | null
  readonly fromHeatCm: number | null
  readonly fromObjectCm: number | null
}

export type CalibrationFacts = { readonly calibratedOn: LocalDay; readonly validUntil: LocalDay }

export type ExposureFacts = {
  readonly id: string
  readonly location: LocationFacts | null
  readonly role: ExposureRole
  /** Exposures of one test that share it stood side by side. */
  readonly pairKey: string | null
  readonly startAt: Instant | null
  readonly stopAt: Instant | null
  readonly placement: PlacementFacts
  readonly deviceId: string | null
  /** Where the records had the monitor when this was recorded all the same; null where nothing spoke against it. */
  readonly againstRecords: 'elsewhere' | 'away' | 'lost' | 'retired' | null
  readonly calibrations: readonly CalibrationFacts[]
  readonly lotExpiresOn: LocalDay | null
  readonly result: Reported | null
  readonly series: SeriesFacts | null
}

export type TestFacts = {
  readonly id: string
  readonly version: number
  readonly systemId: string | null
  readonly purpose: TestPurpose
  readonly method: TestMethod
  readonly source: 'own' | 'other-company' | 'laboratory' | 'homeowner' | 'imported'
  readonly setAt: Instant | null
  readonly pickedUpAt: Instant | null
  readonly sentToLabAt: Instant | null
  readonly resultInAt: Instant | null
  readonly closedSince: Instant | null
  readonly closedDuring: YesNoUnknown
  readonly severeWeather: YesNoUnknown
  readonly systemRunning: YesNoUnknown
  readonly tampering: YesNoUnknown
  readonly acceptedAt: Instant | null
  readonly exposures: readonly ExposureFacts[]
}

export type SystemEventKind =
  | 'first-start'
  | 'off'
  | 'on'
  | 'completed'
  | 'signed-off'
  | 'sealed'
  | 'altered'
  | 'repaired'
export type SystemEventFacts = { readonly id: string; readonly kind: SystemEventKind; readonly when: When }
export type ComponentFacts = {
  readonly id: string
  readonly kind: string
  readonly model: string
  readonly installed: When
  readonly removed: When | null
}
export type SystemFacts = {
  readonly id: string
  readonly type: string
  readonly active: boolean
  readonly installedBy: 'us' | 'another' | 'builder' | 'owner' | 'unknown'
  readonly events: readonly SystemEventFacts[]
  readonly components: readonly ComponentFacts[]
}

export type HomeEventKind =
  | 'addition'
  | 'renovation'
  | 'newly-lived-in'
  | 'heating-change'
  | 'ventilation-change'
  | 'new-opening'
  | 'quake-or-blasting'
  | 'sale'
export type HomeEventFacts = { readonly id: string; readonly kind: HomeEventKind; readonly when: When }

export type HomeFacts = {
  readonly propertyId: string
  /** IANA zone. */
  readonly zone: string
  /** `US-MN`, `CA-ON`, `GB`: resolved to the nearest rule set, then its parents. */
  readonly jurisdiction: string
  readonly buildingUse: BuildingUse
  readonly yearBuilt: number | null
  /** When the home was first recorded: what is owed for want of any other fact counts from here. */
  readonly knownSince: Instant | null
  readonly locations: readonly LocationFacts[]
  readonly systems: readonly SystemFacts[]
  readonly tests: readonly TestFacts[]
  readonly events: readonly HomeEventFacts[]
}
