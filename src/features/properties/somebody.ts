import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { Somebody } from './around-forms.ts'
import { customerByEmail } from './people-queries.ts'
import { impossible } from './refuse.ts'

type Person = { readonly name: string; readonly phone?: string; readonly email?: string }
/** How a person is taken up: their own feature's verb, handed in because a home's forms ask for people too. */
export type TakeUpCustomer = (tx: Tx, act: Act, person: Person) => Promise<{ readonly id: string }>

/** The customer meant: the one known by this mail address, else a new one; null when nobody was named. */
export async function customerMeant(tx: Tx, act: Act, meant: Somebody, takeUp: TakeUpCustomer): Promise<string | null> {
  const known = meant.email ? await customerByEmail(tx, meant.email) : null
  if (known) return known
  const name = meant.name ?? meant.email
  if (!name) return null
  return (await takeUp(tx, act, { name, ...given('phone', meant.phone), ...given('email', meant.email) })).id
}

const given = <K extends string>(key: K, value: string | undefined) =>
  (value === undefined ? {} : { [key]: value }) as { [P in K]?: string }

/** The same where somebody must be named (422). */
export async function customerNamed(tx: Tx, act: Act, meant: Somebody, takeUp: TakeUpCustomer): Promise<string> {
  const id = await customerMeant(tx, act, meant, takeUp)
  if (id) return id
  throw impossible([
    { pointer: '/name', code: 'nobody', detail: 'Name somebody, or give a mail address that is known' },
  ])
}
