import { type Db, sql } from '../../platform/db/client.ts'

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
  readonly licenceNumbers: readonly string[]
  readonly zone: string
}

const read = sql(
  'reminders-letterhead',
  `select name, street, city, region, postcode, country, phone, reply_to as "replyTo", licence_numbers as "licenceNumbers", zone
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
  licenceNumbers: [],
  zone: 'UTC',
}
export const readLetterhead = async (db: Db): Promise<Letterhead> => (await db.one<Letterhead>(read)) ?? unnamed
