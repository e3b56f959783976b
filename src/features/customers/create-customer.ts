import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrites } from '../../platform/db/record-write.ts'
import { newId } from '../../platform/ids.ts'
import { e164Of } from './phone-number.ts'
import { type Customer, countryOfCompany, insertCustomers, readCustomer } from './queries.ts'
import type { NewCustomer } from './schemas.ts'

/** Takes up a customer and gives it back as kept, its phone number as E.164. */
export async function createCustomer(tx: Tx, act: Act, input: NewCustomer): Promise<Customer> {
  const country = input.country || (await countryOfCompany(tx))
  const phone = input.phone ? e164Of(input.phone, country) : null
  const [id] = await writeCustomers(tx, act, [{ ...input, phone }])
  return readCustomer(tx, { ...act, actor: { kind: 'system', id: null } }, id!)
}

/** Writes customers, their phones E.164 already, by the same few statements however many; gives their ids. */
export async function writeCustomers(tx: Tx, act: Act, customers: readonly NewCustomer[]): Promise<readonly string[]> {
  const rows = customers.map(input => ({
    id: newId(),
    kind: input.kind ?? 'person',
    name: input.name,
    email: input.email ?? null,
    phone: input.phone ?? null,
    street: input.street ?? '',
    city: input.city ?? '',
    region: input.region ?? '',
    postcode: input.postcode ?? '',
    country: input.country ?? '',
    language: input.language ?? 'en',
    preferredChannel: input.preferredChannel ?? (input.email ? 'email' : 'phone'),
    note: input.note ?? '',
  }))
  await insertCustomers(tx, act.now, rows)
  await recordWrites(
    tx,
    act,
    rows.map(({ id }) => ({ action: 'create', noun: 'customer', id, version: 1 })),
  )
  return rows.map(({ id }) => id)
}
