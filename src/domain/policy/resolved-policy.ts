import type { z } from 'zod'
import type { RuleRef } from '../answers.ts'
import type { BuildingUse, LocalDay } from '../facts.ts'
import type { levelSchema, RuleName, RuleValue, tierSchema } from './policy-schema.ts'

/** A rule in force with where it stands. */
export type Rule<T> = { readonly value: T; readonly ref: RuleRef }

/** Every single-valued rule by name; a rule the jurisdiction does not know is absent. */
export type Rules = { readonly [N in RuleName]?: Rule<RuleValue<N>> }

type Placed<T> = Readonly<Omit<T, 'instrument' | 'clause' | 'status'>> & { readonly ref: RuleRef }
/** A level to compare with. Its own unit is kept: the reading is converted. */
export type Level = Placed<z.infer<typeof levelSchema>>
export type Tier = Placed<z.infer<typeof tierSchema>>

/** The law of one place, building use and day, parents folded in. */
export type ResolvedPolicy = {
  readonly code: string
  readonly title: string
  readonly from: LocalDay
  readonly buildingUse: BuildingUse
  /** Changes whenever any version that went into it does: part of the key of a kept evaluation. */
  readonly versionKey: string
  /** The radon gas level results are held against; null where the law names none. */
  readonly level: Level | null
  /** Other levels of the same law: dose, working levels, other building years. */
  readonly otherLevels: readonly Level[]
  /** Rising by value. */
  readonly tiers: readonly Tier[]
  readonly rules: Rules
}

/** Rules a single test is judged by. */
export type TestRules = Pick<
  Rules,
  | 'minimumHours'
  | 'longTermHours'
  | 'equilibriumHours'
  | 'usableHours'
  | 'usableHoursAfterDropping'
  | 'closedBeforeHours'
  | 'closedBeforeUnderHours'
  | 'closedDuringUpToHours'
  | 'extendedHoursWhenNotClosed'
  | 'fanRunningHours'
  | 'fanRunningUnderHours'
  | 'severeWeatherUnderHours'
  | 'calibrationInterval'
  | 'allowedSeason'
  | 'minimumHeightCm'
  | 'maximumHeightCm'
  | 'fromOpeningCm'
  | 'fromExteriorWallCm'
  | 'fromHeatCm'
  | 'fromObjectCm'
  | 'forbiddenRooms'
  | 'pairDifference'
  | 'pairAbsoluteDifference'
>
