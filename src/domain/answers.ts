/**
 * What the reckoning answers: the counterpart of facts.ts. Everything a person is shown is printed from these.
 *
 * Absolute instants and days only, never "overdue by": an answer must not age between two changes.
 * Numbers that were compared are decimal text, exact, with their unit.
 */
import type { BuildingUse, Instant, LocalDay, Qualifier, RadonUnit, TestMethod, TestPurpose } from './facts.ts'

/** A number with its unit, exact decimal text (or an exact fraction `7/3` where no finite decimal exists). */
export type Quantity = { readonly value: string; readonly unit: string }

/** A figure that was held against a level; `<` below detection, `>` over range. */
export type ComparedQuantity = Quantity & { readonly qualifier: Qualifier }

/** The rule that decided something, as its policy version states it. */
export type RuleRef = {
  readonly policyCode: string
  readonly policyFrom: LocalDay
  readonly rule: string
  readonly instrument: string
  readonly clause: string
  readonly year: number | null
  /** `checked` against the document, or `unverified` (from memory, or a secondary page). */
  readonly status: 'checked' | 'unverified'
}

/** One line of a short calculation, set with the relation sign in one column. */
export type WorkingLine = {
  readonly left: string
  /** `=`, `≥`, `<`, `→` … */
  readonly relation: string
  readonly right: string
  readonly note: string | null
}

/** How an answer came about: inputs, rule, arithmetic, outcome. Printed by screen, API and paper alike. */
export type Working = {
  readonly title: string
  readonly inputs: readonly { readonly label: string; readonly value: string }[]
  readonly lines: readonly WorkingLine[]
  readonly rule: RuleRef | null
  readonly outcome: string
}

export type Finding = {
  /** `duration`, `closed-before`, `closed-during`, `fan-running`, `gap`, `contiguous-hours`, `calibration`, `height`, … */
  readonly code: string
  readonly exposureId: string | null
  readonly at: Instant | null
  readonly allowed: string
  readonly found: string
  readonly effect: 'invalidates' | 'warns'
  readonly rule: RuleRef | null
}
export type Validity = 'valid' | 'valid-with-notes' | 'invalid'

/** Part of a record that the mean leaves out, and why that is allowed. */
export type LeftOut = {
  readonly from: Instant
  readonly to: Instant
  /** `not-in-place`: read before the device was set or after it was picked up. */
  readonly why: 'equilibrium' | 'closed-building' | 'fan-start' | 'gap' | 'outside-longest-run' | 'not-in-place'
}

export type ExposureAnswer = {
  readonly exposureId: string
  readonly locationId: string | null
  readonly locationName: string
  readonly floor: number | null
  readonly livedIn: boolean | null
  readonly role: string
  readonly pairKey: string | null
  /** As reported, or the exact mean of the usable window in the record's own unit. */
  readonly result: (Quantity & { readonly qualifier: Qualifier; readonly unit: RadonUnit }) | null
  readonly uncertainty: string | null
  readonly fromSeries: boolean
  readonly usableFrom: Instant | null
  readonly usableTo: Instant | null
  readonly leftOut: readonly LeftOut[]
  readonly working: Working | null
}

export type TestStage = 'planned' | 'set' | 'picked-up' | 'at-laboratory' | 'result-in'

/** A test judged by the law of its stop day. Cached per (test version, rule version). */
export type EvaluatedTest = {
  readonly testId: string
  readonly testVersion: number
  readonly systemId: string | null
  readonly purpose: TestPurpose
  readonly method: TestMethod
  readonly stage: TestStage
  readonly startAt: Instant | null
  readonly stopAt: Instant | null
  readonly term: 'short' | 'long' | null
  readonly findings: readonly Finding[]
  /** null until there is a result to judge. */
  readonly validity: Validity | null
  readonly exposures: readonly ExposureAnswer[]
  /** Pairs, averages and disagreement within the test. */
  readonly workings: readonly Working[]
  /** What this test alone says against the level of its day; null when invalid or unfinished. */
  readonly outcome: VerdictOutcome | null
  readonly accepted: boolean
}

export type VerdictOutcome = 'below' | 'at-or-above' | 'needs-follow-up' | 'disagreement' | 'undetermined'
export type UndeterminedReason =
  | 'never-tested'
  | 'test-under-way'
  | 'result-awaited'
  | 'only-invalid-tests'
  | 'altered-since-test'
  | 'order-unknown'
  | 'not-the-required-kind'
  | 'facts-missing'

export type LevelRef = {
  readonly label: string
  readonly value: string
  readonly unit: RadonUnit
  /** How the level's own document words it. */
  readonly operator: '>=' | '>'
  readonly binding: boolean
}

export type Verdict = {
  readonly outcome: VerdictOutcome
  readonly reason: UndeterminedReason | null
  /** What would settle an undetermined verdict, in one plain sentence. */
  readonly settledBy: string | null
  readonly level: LevelRef | null
  readonly tier: string | null
  /** The value that was compared, in the level's unit. */
  readonly compared: ComparedQuantity | null
  readonly testIds: readonly string[]
  readonly perLocation: readonly {
    readonly locationId: string | null
    readonly locationName: string
    readonly compared: ComparedQuantity
    readonly outcome: VerdictOutcome
  }[]
  readonly working: Working
}

export type ObligationKind =
  | 'initial-test'
  | 'follow-up-test'
  | 'mitigation'
  | 'post-mitigation-test'
  | 'further-mitigation'
  | 'retest'
  | 'pick-up'
  | 'laboratory-result'

export type Obligation = {
  readonly kind: ObligationKind
  /** The fact this is owed because of; key = property + kind + causeId, never the day. */
  readonly causeId: string
  readonly earliestOn: LocalDay | null
  readonly dueOn: LocalDay
  /** Last instant of dueOn in the home's zone. */
  readonly dueAt: Instant
  /** Instants of the reminder rungs, rising; empty where nobody is reminded by mail (pick-up, laboratory). */
  readonly remindAt: readonly Instant[]
  /** Whom it concerns: a homeowner is reminded only of what is theirs. */
  readonly owedBy: 'homeowner' | 'company'
  readonly recommended: boolean
  readonly because: readonly { readonly text: string; readonly rule: RuleRef | null }[]
  readonly working: Working
}

export type Standing = {
  readonly propertyId: string
  readonly zone: string
  readonly jurisdiction: string
  readonly buildingUse: BuildingUse
  readonly system: 'none' | 'not-started' | 'running' | 'off' | 'unknown'
  readonly verdict: Verdict
  /** Newest first. */
  readonly tests: readonly EvaluatedTest[]
  readonly obligations: readonly Obligation[]
  /** The rule versions used: the law of the deciding test's day, and today's law for what is owed. */
  readonly judgedBy: { readonly code: string; readonly from: LocalDay } | null
  readonly owedBy: { readonly code: string; readonly from: LocalDay }
  /** When time alone will change this answer. */
  readonly nextChangeAt: Instant | null
}
