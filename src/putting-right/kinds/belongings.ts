import { addDays } from '../../domain/calendar/day-sums.ts'
import {
  type Merge,
  ownershipsAfter,
  partsAfter,
  type Time,
  type TimeChange,
} from '../../domain/people/times-after-merge.ts'
import { callbacksReportedBy, handOverCallbacks } from '../../features/callbacks/hand-over-callbacks.ts'
import { handOverKits, kitsLeftWith } from '../../features/devices/hand-over-kits.ts'
import { handOverLinks, handOverReports, linksOf, reportsOf } from '../../features/homeowner/hand-over-page.ts'
import { handOverParties, type PartyOf, partiesOf } from '../../features/parties/hand-over-parties.ts'
import { handOverOwnerships, handOverPersons } from '../../features/properties/hand-over-homes.ts'
import { type AroundOf, aroundHomesOf } from '../../features/properties/hand-over-queries.ts'
import { handOverMails, handOverNotices, mailsTo, noticesTo } from '../../features/reminders/hand-over-mails.ts'
import { type Db, sql, type Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'

/** All that hangs on a person, each with what becomes of it when another entry of theirs takes it over. */
export type Belongings = {
  readonly ownerships: readonly TimeChange[]
  readonly persons: readonly TimeChange[]
  readonly parties: readonly TimeChange[]
  readonly kits: readonly string[]
  readonly callbacks: readonly string[]
  readonly reports: readonly string[]
  readonly links: readonly string[]
  readonly notices: readonly string[]
  readonly mails: readonly string[]
  /** The same by the nouns' names, those first that are put back last. */
  readonly touched: Readonly<Record<string, readonly string[]>>
}

const homes = sql(
  'putting-right-homes-of-person',
  `select p.id, p.voided_at is not null as voided from property p where p.id in (
       select property_id from ownership where customer_id = $1 union select property_id from property_person where customer_id = $1
       union select property_id from work_party where customer_id = $1 union select property_id from kit where customer_id = $1
       union select property_id from callback where reported_by_customer = $1) order by p.id`,
)
/** Every home that has anything to do with somebody. */
export const homesOf = (db: Db, customerId: string) => db.rows<{ id: string; voided: boolean }>(homes, [customerId])

/** What one entry of a person has, as it is to be once it belongs to the other. */
export async function belongingsOf(db: Db, fromId: string, toId: string): Promise<Belongings> {
  const merge: Merge = { fromId, toId }
  const around = (await aroundHomesOf(db, fromId)).map(aroundTime)
  const owners = around.filter(({ part }) => part === 'owner')
  const others = around.filter(({ part }) => part !== 'owner')
  const parties = (await partiesOf(db, [fromId, toId])).map(partyTime)
  const found = {
    ownerships: ownershipsAfter(owners, merge),
    persons: partsAfter(others, owners, merge),
    parties: partsAfter(parties, [], merge),
    kits: idsOf(await kitsLeftWith(db, fromId)),
    callbacks: idsOf(await callbacksReportedBy(db, fromId)),
    reports: idsOf(await reportsOf(db, fromId)),
    links: idsOf(await linksOf(db, fromId)),
    notices: await noticesTo(db, fromId),
    mails: await mailsTo(db, fromId),
  }
  const touched = {
    mail: found.mails,
    notice: found.notices,
    ownership: idsOf(found.ownerships),
    property_person: idsOf(found.persons),
    work_party: idsOf(found.parties),
    kit: found.kits,
    callback: found.callbacks,
    homeowner_report: found.reports,
    homeowner_link: found.links,
  }
  return { ...found, touched }
}

const idsOf = (rows: readonly { readonly id: string }[]): string[] => rows.map(({ id }) => id)

/** Gives all of it to the entry that stays. */
export async function handOver(tx: Tx, act: Act, had: Belongings, customerId: string, reason: string): Promise<void> {
  const dated = ({ gone, ...change }: TimeChange) => ({ ...change, ...(gone ? { voidedAt: act.now } : {}) })
  const whole = (ids: readonly string[]) => ids.map(id => ({ id, customerId }))
  await handOverOwnerships(tx, act, had.ownerships.map(dated), reason)
  await handOverPersons(tx, act, had.persons.map(dated), reason)
  await handOverParties(
    tx,
    act,
    had.parties.map(dated).map(({ untilOn, ...change }) => ({ ...change, ...lastDay(untilOn) })),
    reason,
  )
  await handOverKits(tx, act, whole(had.kits), reason)
  await handOverCallbacks(tx, act, whole(had.callbacks), reason)
  await handOverReports(tx, act, whole(had.reports), reason)
  await handOverLinks(tx, whole(had.links))
  await handOverNotices(tx, whole(had.notices))
  await handOverMails(tx, whole(had.mails))
}

const aroundTime = ({ role, ...time }: AroundOf): Time => ({ ...time, part: role })
// A part in work holds on its last day, too.
const partyTime = ({ subject, subjectId, part, firstOn, lastOn, ...party }: PartyOf): Time => ({
  ...party,
  part: `${subject} ${subjectId} ${part}`,
  fromOn: firstOn,
  untilOn: lastOn && addDays(lastOn, 1),
})
const lastDay = (untilOn: string | null | undefined) =>
  untilOn === undefined ? {} : { lastOn: untilOn && addDays(untilOn, -1) }
