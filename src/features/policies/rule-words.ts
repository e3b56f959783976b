import { periodWords } from '../../domain/calendar/day-sums.ts'
import { type RuleGroup, type RuleName, type RuleValue, testMethods } from '../../domain/policy/policy-schema.ts'
import { methodWords } from '../../web/method-words.ts'
import { unitWords } from '../../web/quantity-text.tsx'

export type RulePart = 'deciding' | 'measuring' | 'times'
type Words<N extends RuleName> = readonly [name: string, says: (value: RuleValue<N>) => string]

const hours = (value: number) => `${value} h`
const centimetres = (value: number) => `${value} cm or more`
const yes = (value: boolean) => (value ? 'yes' : 'no')
const within = (value: string) => `within ${periodWords(value)}`
const every = (value: string) => `every ${periodWords(value)}`
const spoken = (code: string) => code.replaceAll('-', ' ')
const level = ({ value, unit }: { value: string; unit: string }) => `${value} ${unitWords(unit)}`

const decidedBy: Record<RuleValue<'decidedBy'>, string> = {
  'long-term': 'a long-term test; nothing shorter decides',
  'short-term-confirmed': 'a short test below the level; one at or above it asks for a second',
  'any-valid': 'any valid test',
}
const shortest = (value: RuleValue<'minimumHours'>): string => {
  const known = testMethods.flatMap(method => (value[method] === undefined ? [] : [[method, value[method]] as const]))
  const [first, ...others] = new Set(known.map(([, length]) => length))
  if (first !== undefined && others.length === 0) return `${hours(first)}, whatever the method`
  return known.map(([method, length]) => `${methodWords[method]} ${hours(length)}`).join(', ')
}

/** What each rule is called and how its value is said, in the order in which they are read. */
export const ruleWords: { readonly [P in RulePart]: { readonly [N in RuleName]?: Words<N> } } = {
  deciding: {
    decidedBy: ['What decides', value => decidedBy[value]],
    rounding: [
      'Rounding before a result is compared',
      ({ decimals, unit }) =>
        `to ${decimals === 1 ? '1 decimal' : `${decimals} decimals`} of ${unitWords(unit)}, half up`,
    ],
    secondTestWithin: ['Two short tests count together when they are', value => `at most ${periodWords(value)} apart`],
    disagreementFactor: [
      'Two results on either side of the level disagree when',
      value => `the higher is ${value} times the lower or more`,
    ],
    longTermOverrulesShortTerm: ['A long-term result overrules short ones', yes],
    realEstateDecidesAtOnce: ['At a sale, one monitor or a pair decides at once', yes],
    minimumLocations: ['Locations tested', value => `${value} or more`],
    seasonalFactors: [
      'Corrected for the season',
      value => (value.length === 0 ? 'no factor is applied' : `by ${value.length} factors of month and length`),
    ],
    alteredSystemNeedsTest: ['A changed system needs a new test', yes],
    urgentFollowUpFactor: ['A second test is urgent from', value => `${value} times the level`],
  },
  measuring: {
    minimumHours: ['Shortest test', shortest],
    longTermHours: ['A test is long-term from', value => `${hours(value)} (${Math.round(value / 24)} days)`],
    equilibriumHours: ['First hours left out of a monitor’s record', hours],
    usableHours: ['Hours in a row a monitor’s record must hold', hours],
    usableHoursAfterDropping: ['The same, once the first hours are left out', hours],
    closedBeforeHours: ['Building closed before a test', hours],
    closedBeforeUnderHours: ['That holds for tests shorter than', hours],
    closedDuringUpToHours: ['Building kept closed during tests up to', hours],
    extendedHoursWhenNotClosed: ['Instead, where it was not closed before, a test of', hours],
    fanRunningHours: ['System running before a test', hours],
    fanRunningUnderHours: ['That holds for tests shorter than', hours],
    severeWeatherUnderHours: ['No severe weather during tests shorter than', hours],
    calibrationInterval: ['A monitor is calibrated', every],
    allowedSeason: ['Months in which a test may run', ({ from, until }) => `${from} to ${until} (month-day)`],
    minimumHeightCm: ['Above the floor', centimetres],
    maximumHeightCm: ['Above the floor at most', value => `${value} cm`],
    fromOpeningCm: ['From windows and doors', centimetres],
    fromExteriorWallCm: ['From an outer wall', centimetres],
    fromHeatCm: ['From heat', centimetres],
    fromObjectCm: ['From other objects', centimetres],
    forbiddenRooms: ['Rooms never tested in', value => value.map(spoken).join(', ')],
    pairDifference: [
      'Two devices side by side differ too much',
      value =>
        value
          .map(
            ({ meanFrom, warnsAtPercent, controlAtPercent }) =>
              `from a mean of ${meanFrom} pCi/L: a note at ${warnsAtPercent} %, out of control at ${controlAtPercent} %`,
          )
          .join('; '),
    ],
    pairAbsoluteDifference: [
      'The same at low results',
      ({ meanUnder, atMost, unit }) =>
        `under a mean of ${level({ value: meanUnder, unit })}: at most ${level({ value: atMost, unit })} apart`,
    ],
  },
  times: {
    initialTestWithin: ['First test of a home', within],
    followUpWithin: ['Second test after a first one at or above', within],
    urgentFollowUpWithin: ['Second test when it is urgent', within],
    mitigateWithin: ['Mitigation', within],
    postMitigationEarliestHours: ['Test after mitigation, not before the system ran for', hours],
    postMitigationWithin: ['Test after mitigation', within],
    retestMitigatedEvery: ['Retest of a home with a system', every],
    retestUnmitigatedEvery: ['Retest of a home without one', every],
    retestAfterEvents: ['Retest also after', value => value.map(spoken).join(', ')],
    retestAfterEventWithin: ['That retest', within],
    pickUpWithin: ['A device is picked up', value => `${within(value)} of having stood long enough`],
    laboratoryWithin: ['A laboratory’s answer is waited for', value => `up to ${periodWords(value)}`],
    reminderLadder: [
      'Homeowners are reminded',
      ({ days, at }) => `${days.map(dayFromDue).join(', ')}, at ${at} where they live`,
    ],
  },
}

const dayFromDue = (day: number): string =>
  day === 0 ? 'on the due day' : `${Math.abs(day)} days ${day < 0 ? 'before' : 'after'} it is due`

/** A rule's name and value as people say them, and the part of the page it stands in. */
export function ruleSaid(name: RuleName, rule: NonNullable<RuleGroup[RuleName]>) {
  for (const [part, words] of Object.entries(ruleWords) as [RulePart, (typeof ruleWords)[RulePart]][]) {
    const found = words[name] as Words<RuleName> | undefined
    if (found) return { part, name: found[0], value: found[1](rule.value as never) }
  }
  throw new Error(`a rule without words: ${name}`)
}

/** What a rule is called. */
export const nameOf = (name: RuleName): string =>
  Object.values(ruleWords).flatMap(
    words => (words[name as keyof typeof words] as Words<RuleName> | undefined)?.[0] ?? [],
  )[0] ?? name

/** The rules in the order in which they are read. */
export const rulesInOrder = Object.values(ruleWords).flatMap(words => Object.keys(words) as RuleName[])
