import { z } from 'zod'
import type { LocalDay } from '../../domain/facts.ts'
import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import { type DateReading, readTypedDate } from '../../web/read-typed-date.ts'
import { needed, type TypedFields, textIn } from '../../web/typed-fields.ts'
import { customerByEmail } from './queries.ts'
import { type NewParty, workPart } from './schemas.ts'

type Somebody = { readonly customerId: string; readonly name: string; readonly email: string; readonly phone: string }
type Person = { readonly name: string; readonly phone?: string; readonly email?: string }
/** How a person is taken up: their own feature's verb, handed in. */
export type TakeUpCustomer = (tx: Tx, act: Act, person: Person) => Promise<{ readonly id: string }>

export type SaidParty = {
  readonly party: Pick<NewParty, 'part' | 'firstOn' | 'lastOn'>
  readonly somebody: Somebody
}

/** Reads the form; faults are added under the field they are of. */
export function readPartyForm(typed: TypedFields, reading: DateReading, faults: FieldFault[]): SaidParty | null {
  const part = workPart.safeParse(textIn(typed, 'part')).data ?? needed(faults, 'part', 'Choose the part they have')
  const [firstOn, lastOn] = [dayIn(typed, 'firstOn', reading, faults), dayIn(typed, 'lastOn', reading, faults)]
  const [customerId, name] = [textIn(typed, 'customerId'), textIn(typed, 'name').slice(0, 200)]
  const [email, phone] = [textIn(typed, 'email'), textIn(typed, 'phone').slice(0, 40)]
  if (email !== '' && !z.email().safeParse(email).success)
    faults.push({ name: 'email', message: 'is no mail address: write it like name@example.com' })
  if (customerId === '' && name === '' && email === '')
    needed(faults, 'name', 'Choose somebody above, or name somebody else')
  if (customerId !== '' && !z.uuid().safeParse(customerId).success)
    needed(faults, 'customerId', 'Choose somebody of the list')
  return part && { party: { part, firstOn, lastOn }, somebody: { customerId, name, email, phone } }
}

function dayIn(typed: TypedFields, name: string, reading: DateReading, faults: FieldFault[]): LocalDay | null {
  const text = textIn(typed, name)
  if (text === '') return null
  const read = readTypedDate(text, reading)
  if (read.ok) return read.day
  faults.push({ name, message: read.fault })
  return null
}

/** The customer meant: the one chosen, the one known by the mail address, else a new one. */
export async function whoIsMeant(tx: Tx, act: Act, somebody: Somebody, takeUp: TakeUpCustomer): Promise<string> {
  const { customerId, name, email, phone } = somebody
  if (customerId !== '') return customerId
  const known = email === '' ? null : await customerByEmail(tx, email)
  if (known) return known
  const reached = { ...(email === '' ? {} : { email }), ...(phone === '' ? {} : { phone }) }
  return (await takeUp(tx, act, { name: name || email, ...reached })).id
}
