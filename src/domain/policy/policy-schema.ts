import { z } from 'zod'
import { isLocalDay } from '../calendar/civil-day.ts'
import { isPeriod } from '../calendar/day-sums.ts'
import { exactFrom } from '../quantity/exact.ts'

/** The shape of one version of a rule set as data. A child names only what differs from its parent. */

export const buildingUses = ['home', 'rented-home', 'school', 'workplace', 'public-building'] as const
export const testMethods = [
  'continuous-monitor',
  'activated-charcoal',
  'electret',
  'alpha-track',
  'liquid-scintillation',
] as const
export const homeEventKinds = [
  'addition',
  'renovation',
  'newly-lived-in',
  'heating-change',
  'ventilation-change',
  'new-opening',
  'quake-or-blasting',
  'sale',
] as const

/** Text that is refused with what is wrong and what to write instead. */
const text = (fits: (text: string) => boolean, error: string, remedy: string) =>
  z.string().refine(fits, { error, params: { remedy } })
const localDay = text(isLocalDay, 'not a calendar day', 'Write a day that exists as YYYY-MM-DD.')
const period = text(isPeriod, 'not a period', 'Write a number of days, weeks, months or years: P30D, P2W, P3M, P2Y.')
const positiveDecimal = text(
  value => (exactFrom(value)?.compare(0) ?? 0) > 0,
  'not a positive decimal',
  'Write a number above zero as text: "4.0".',
)
const monthDay = text(value => isLocalDay(`2000-${value}`), 'not a day of the year', 'Write it as MM-DD.')
const timeOfDay = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'not a time HH:MM')
const hours = z.number().positive().finite()
const centimetres = z.number().positive().finite()

/** Where a rule stands: which instrument (a key of `instruments`), which clause, and whether the document itself was read. */
const origin = {
  instrument: z.string().min(1),
  clause: z.string(),
  status: z.enum(['checked', 'unverified']),
}
/** A single-valued rule; `null` in a child takes the parent's rule away. */
const rule = <T extends z.ZodType>(value: T) =>
  z
    .strictObject({ value, ...origin })
    .nullable()
    .optional()

export const levelSchema = z.strictObject({
  label: z.string().min(1),
  value: positiveDecimal,
  unit: z.enum(['pCi/L', 'Bq/m3', 'WL', 'mSv/y']),
  operator: z.enum(['>=', '>']),
  /** Only `gas` is held against the result of a room; what a worker breathes over a week, or a dose, is told beside it. */
  quantity: z.enum(['gas', 'equilibrium-equivalent', 'working-level', 'dose', 'occupational-exposure']),
  /** Which figure is held against it: one of the dwelling, the worst lived-in room, every tested location, or the mean of the rooms the rule asks for. */
  statistic: z.enum(['dwelling-mean', 'worst-lived-in-room', 'each-location', 'mean-of-required-rooms']),
  binding: z.boolean(),
  /** Applies only to buildings built in these years, inclusive: a new-build level. */
  builtFrom: z.number().int().nullable().default(null),
  builtUntil: z.number().int().nullable().default(null),
  ...origin,
})

/** A band of results: from `value` upward, what is asked and by when. */
export const tierSchema = z.strictObject({
  label: z.string().min(1),
  value: positiveDecimal,
  unit: z.enum(['pCi/L', 'Bq/m3']),
  operator: z.enum(['>=', '>']),
  asks: z.enum(['mitigation', 'consider-mitigation']),
  deadline: period.nullable(),
  ...origin,
})

const levels = {
  levels: z.array(levelSchema).min(1).optional(),
  tiers: z.array(tierSchema).optional(),
}

const decision = {
  /** `long-term`: nothing shorter decides. `short-term-confirmed`: a first short result at or above wants a second. */
  decidedBy: rule(z.enum(['long-term', 'short-term-confirmed', 'any-valid'])),
  rounding: rule(
    z.strictObject({ decimals: z.int().min(0).max(3), unit: z.enum(['pCi/L', 'Bq/m3']), mode: z.literal('half-up') }),
  ),
  realEstateDecidesAtOnce: rule(z.boolean()),
  longTermOverrulesShortTerm: rule(z.boolean()),
  /** Two results, one below and one at or above, disagree when the higher is this many times the lower or more. */
  disagreementFactor: rule(z.number().gt(1)),
  /** Above this many times the level a follow-up is short-term and at once. */
  urgentFollowUpFactor: rule(z.number().gt(1)),
  /** Two short-term tests no further apart than this are one decision: their average. */
  secondTestWithin: rule(period),
  followUpWithin: rule(period),
  urgentFollowUpWithin: rule(period),
  mitigateWithin: rule(period),
  alteredSystemNeedsTest: rule(z.boolean()),
  minimumLocations: rule(z.int().min(1)),
  /** Factors by the month a test began and its length; empty means that none is applied. */
  seasonalFactors: rule(
    z.array(
      z.strictObject({ startMonth: z.int().min(1).max(12), months: z.int().min(1).max(12), factor: positiveDecimal }),
    ),
  ),
}

const testRules = {
  minimumHours: rule(z.partialRecord(z.enum(testMethods), hours)),
  longTermHours: rule(hours),
  equilibriumHours: rule(hours),
  usableHours: rule(hours),
  usableHoursAfterDropping: rule(hours),
  closedBeforeHours: rule(hours),
  closedBeforeUnderHours: rule(hours),
  closedDuringUpToHours: rule(hours),
  extendedHoursWhenNotClosed: rule(hours),
  fanRunningHours: rule(hours),
  fanRunningUnderHours: rule(hours),
  severeWeatherUnderHours: rule(hours),
  calibrationInterval: rule(period),
  allowedSeason: rule(z.strictObject({ from: monthDay, until: monthDay })),
  minimumHeightCm: rule(centimetres),
  maximumHeightCm: rule(centimetres),
  fromOpeningCm: rule(centimetres),
  fromExteriorWallCm: rule(centimetres),
  fromHeatCm: rule(centimetres),
  fromObjectCm: rule(centimetres),
  forbiddenRooms: rule(z.array(z.string().min(1))),
  /** Collocated pairs by their mean in pCi/L: relative percent difference that warns and that is out of control. */
  pairDifference: rule(
    z.array(z.strictObject({ meanFrom: positiveDecimal, warnsAtPercent: z.number(), controlAtPercent: z.number() })),
  ),
  pairAbsoluteDifference: rule(
    z.strictObject({ meanUnder: positiveDecimal, atMost: positiveDecimal, unit: z.enum(['pCi/L', 'Bq/m3']) }),
  ),
}

const aftercare = {
  initialTestWithin: rule(period),
  postMitigationEarliestHours: rule(hours),
  postMitigationWithin: rule(period),
  retestMitigatedEvery: rule(period),
  retestUnmitigatedEvery: rule(period),
  retestAfterEvents: rule(z.array(z.enum([...homeEventKinds, 'system-altered', 'system-repaired']))),
  retestAfterEventWithin: rule(period),
  pickUpWithin: rule(period),
  laboratoryWithin: rule(period),
}

const reminders = {
  reminderLadder: rule(z.strictObject({ days: z.array(z.int()).min(1), at: timeOfDay })),
}

export const ruleGroupSchema = z.strictObject({ ...levels, ...decision, ...testRules, ...aftercare, ...reminders })

export const policySchema = z.strictObject({
  code: z.string().min(1),
  title: z.string().min(1),
  /** `US`, `US-PA`, or `*` for the rule set that stands behind all. */
  jurisdiction: z.string().regex(/^(\*|[A-Z]{2}(-[A-Z0-9]{1,3})?)$/, 'not an ISO 3166 code or *'),
  parent: z.string().nullable(),
  effectiveFrom: localDay,
  /** First day it no longer holds; null while it stands or until a later version begins. */
  effectiveUntil: localDay.nullable().default(null),
  publishedOn: localDay,
  instruments: z.record(z.string(), z.strictObject({ title: z.string().min(1), year: z.int().nullable() })),
  notes: z.array(z.string()).default([]),
  rules: ruleGroupSchema.default({}),
  /** What differs for one use of a building. */
  uses: z.partialRecord(z.enum(buildingUses), ruleGroupSchema).default({}),
})

export type Policy = Readonly<z.infer<typeof policySchema>>
export type RuleGroup = z.infer<typeof ruleGroupSchema>
/** A name in a rule group other than `levels` and `tiers`. */
export type RuleName = Exclude<keyof RuleGroup, 'levels' | 'tiers'>
export type RuleValue<N extends RuleName> = NonNullable<RuleGroup[N]>['value']
