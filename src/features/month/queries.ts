import type { Month } from '../../domain/calendar/month.ts'
import { lastDayOf } from '../../domain/calendar/month.ts'
import type { Instant, LocalDay, When } from '../../domain/facts.ts'
import { lastDayForAge, type Reach, roughlyAged } from '../../domain/month/fan-reaches-age.ts'
import { seen } from '../../platform/auth/seen.ts'
import { type Db, sql } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { monthList, roughFanDates } from './month-sql.ts'
import type { MonthKind, MonthState } from './schemas.ts'

type Who = Pick<Act, 'actor' | 'now'>

export type MonthItem =
  | { readonly kind: 'retest'; readonly causeId: string; readonly dueOn: LocalDay }
  | {
      readonly kind: 'fan'
      readonly causeId: string
      readonly reach: Exclude<Reach, 'not-yet'>
      readonly installed: When
    }
export type MonthPerson = {
  readonly name: string
  readonly roles: readonly string[]
  readonly phone: string | null
  readonly email: string | null
  readonly preferredChannel: 'email' | 'phone' | 'letter'
  readonly language: string
  readonly mailsStopped: boolean
}
export type MonthHome = {
  readonly id: string
  readonly street: string
  readonly unit: string
  readonly city: string
  readonly region: string
  readonly postcode: string
  readonly country: string
  readonly zone: string
  readonly state: MonthState
  readonly items: readonly MonthItem[]
  readonly people: readonly MonthPerson[]
  /** The next visit that is planned; `serves` when it is one for what is due. */
  readonly visit: {
    readonly visitId: string
    readonly startsAt: Instant
    readonly purpose: string
    readonly serves: boolean
  } | null
  readonly called: {
    readonly id: string
    readonly outcome: string
    readonly backOn: LocalDay
    readonly at: Instant
    readonly note: string
    readonly by: string
  } | null
  readonly putOff: { readonly id: string; readonly backOn: LocalDay; readonly note: string } | null
  /** Its reminders wait since an import. */
  readonly held: boolean
  readonly openCallbacks: number
}
export type MonthCounts = {
  readonly open: number
  readonly called: number
  readonly booked: number
  readonly putOff: number
  readonly fanUnknown: number
  /** Whose fan only may have reached the age. */
  readonly maybe: number
}
export type MonthAsked = {
  readonly month: Month
  readonly kind: MonthKind | null
  /** All that are due when null; those whose fan is of unknown age only when asked for. */
  readonly state: MonthState | null
  readonly region: string | null
  /** How a town or a postcode begins. */
  readonly where: string | null
  readonly homeId: string | null
  readonly after: readonly [city: string, postcode: string, street: string, id: string] | null
  readonly limit: number
  /** Whether people and how they are reached are read too. */
  readonly contacts: boolean
}

export const wholeMonth: Omit<MonthAsked, 'month'> = {
  kind: null,
  state: null,
  region: null,
  where: null,
  homeId: null,
  after: null,
  limit: 100,
  contacts: true,
}

const settings = sql(
  'month-settings',
  'select fan_age_years as years, ($1::timestamptz at time zone zone)::date as today from company',
)
export type MonthSettings = { readonly years: number; readonly today: LocalDay }
/** The company's own age of fans, and its day. */
export async function monthSettings(db: Db, now: Instant): Promise<MonthSettings> {
  return (
    (await db.one<MonthSettings>(settings, [new Date(now)])) ?? {
      years: 10,
      today: new Date(now).toISOString().slice(0, 10),
    }
  )
}

// In a pattern the person's own % and _ are letters.
const beginning = (text: string | null) => text && `${text.toLowerCase().replace(/[\\%_]/g, '\\$&')}%`

/** One month's list: the counts of all, and a page of homes in the order of the drive; one more than `limit` tells that more follow. */
export async function readMonth(
  db: Db,
  who: Who,
  { years, today }: MonthSettings,
  asked: MonthAsked,
): Promise<{ counts: MonthCounts; homes: readonly MonthHome[] }> {
  const dates = (await db.rows<{ edtf: string }>(roughFanDates)).map(({ edtf }) => edtf)
  const rough = roughlyAged(dates, years, asked.month)
  const values = [
    ...seen(who.actor, who.now),
    lastDayOf(asked.month),
    lastDayForAge(years, asked.month),
    rough.reached,
    rough.maybe,
    rough.unknown,
    today,
    asked.kind,
    asked.region,
    beginning(asked.where),
    asked.homeId,
    asked.state,
    asked.limit + 1,
    ...(asked.after ?? [null, null, null, null]),
    asked.contacts,
  ]
  return (await db.one<{ counts: MonthCounts; homes: readonly MonthHome[] }>(monthList, values))!
}
