import type { z } from 'zod'
import type { Actor } from '../../platform/auth/actor.ts'
import { instantText, instantTextOrNull } from '../../platform/http/scalars.ts'
import type { Customer } from './queries.ts'
import type { customerOut } from './schemas.ts'

/** Staff see how to reach people; an app only with the scope for it. */
export const seesContacts = (actor: Actor): boolean =>
  actor.kind === 'app' ? actor.scopes.includes('contacts:read') : actor.kind !== 'homeowner'

export const presentCustomer = (customer: Customer, contacts: boolean): z.input<typeof customerOut> => ({
  id: customer.id,
  kind: customer.kind,
  name: customer.name,
  ...(contacts ? contactsOf(customer) : {}),
  language: customer.language,
  preferredChannel: customer.preferredChannel,
  mailsStoppedAt: instantTextOrNull(customer.mailsStoppedAt),
  mailRefusedAt: instantTextOrNull(customer.mailRefusedAt),
  version: customer.version,
  createdAt: instantText(customer.createdAt),
  updatedAt: instantText(customer.updatedAt),
  voidedAt: instantTextOrNull(customer.voidedAt),
  voidReason: customer.voidReason,
  mergedIntoId: customer.mergedIntoId,
})

const contactsOf = (customer: Customer) => ({
  email: customer.email,
  phone: customer.phone,
  street: customer.street,
  city: customer.city,
  region: customer.region,
  postcode: customer.postcode,
  country: customer.country,
  note: customer.note,
})
