import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { newId } from '../../platform/ids.ts'
import { e164Of } from './phone-number.ts'
import { type Customer, countryOfCompany, insertCustomer, readCustomer } from './queries.ts'
import type { NewCustomer } from './schemas.ts'

/** Takes up a customer and gives it back as kept, its phone number as E.164. */
export async function createCustomer(tx: Tx, act: Act, input: NewCustomer): Promise<Customer> {
  const id = newId()
  const country = input.country || (await countryOfCompany(tx))
  await insertCustomer(tx, act.now, id, {
    kind: input.kind ?? 'person',
    name: input.name,
    email: input.email ?? null,
    phone: input.phone ? e164Of(input.phone, country) : null,
    street: input.street ?? '',
    city: input.city ?? '',
    region: input.region ?? '',
    postcode: input.postcode ?? '',
    country: input.country ?? '',
    language: input.language ?? 'en',
    preferredChannel: input.preferredChannel ?? (input.email ? 'email' : 'phone'),
    note: input.note ?? '',
    mailsStoppedAt: null,
  })
  await recordWrite(tx, act, { action: 'create', noun: 'customer', id, version: 1 })
  return readCustomer(tx, { ...act, actor: { kind: 'system', id: null } }, id)
}
