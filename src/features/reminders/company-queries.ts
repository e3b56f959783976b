import { at, type Db, sql } from '../../platform/db/client.ts'

/** What stands at the head and foot of every letter. */
export type Letterhead = {
  readonly name: string
  readonly street: string
  readonly city: string
  readonly region: string
  readonly postcode: string
  readonly country: string
  readonly phone: string
  readonly replyTo: string
  /** Further lines under the address. */
  readonly letterhead: string
  /** Those that hold today. */
  readonly licenceNumbers: readonly string[]
  /** What the company adds to the caution. */
  readonly cautionAdded: string
  readonly zone: string
}

const read = sql(
  'reminders-letterhead',
  `select name, street, city, region, postcode, country, phone, reply_to as "replyTo", letterhead,
     licences_on(($1::timestamptz at time zone zone)::date) as "licenceNumbers", caution_added as "cautionAdded", zone
     from company`,
)
const unnamed: Letterhead = {
  name: 'Underslab',
  street: '',
  city: '',
  region: '',
  postcode: '',
  country: '',
  phone: '',
  replyTo: '',
  letterhead: '',
  licenceNumbers: [],
  cautionAdded: '',
  zone: 'UTC',
}
export const readLetterhead = async (db: Db, now: number): Promise<Letterhead> =>
  (await db.one<Letterhead>(read, [at(now)])) ?? unnamed
