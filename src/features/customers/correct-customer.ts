import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite, recordWrites } from '../../platform/db/record-write.ts'
import { problem, stale } from '../../platform/http/problem.ts'
import { e164Of } from './phone-number.ts'
import {
  type Customer,
  type CustomerColumns,
  countryOfCompany,
  lockCustomer,
  markCustomersVoided,
  readCustomer,
  tiesOf,
  updateCustomer,
} from './queries.ts'
import type { CustomerCorrection } from './schemas.ts'

/** Corrects a customer; the old values stay with who, when and why. Throws 412 when `version` is no longer the last. */
export async function correctCustomer(
  tx: Tx,
  act: Act,
  id: string,
  version: number,
  { reason, mailsStopped, ...patch }: CustomerCorrection,
): Promise<Customer> {
  const was = await lockCustomer(tx, act, id)
  if (was.version !== version) throw stale(was.version)
  const named = Object.entries(patch).filter(([, value]) => value !== undefined)
  const now: CustomerColumns = {
    ...was,
    ...Object.fromEntries(named),
    mailsStoppedAt: stoppedAt(was, act, mailsStopped),
  }
  const country = now.country || (await countryOfCompany(tx))
  const phone = patch.phone ? e164Of(patch.phone, country) : now.phone
  await updateCustomer(tx, act.now, id, { ...now, phone })
  const fields = [...named.map(([field]) => field), ...(mailsStopped === undefined ? [] : ['mailsStoppedAt'])]
  await recordWrite(tx, act, {
    action: 'correct',
    noun: 'customer',
    id,
    version: version + 1,
    fields,
    was: Object.fromEntries(fields.map(field => [field, was[field as keyof Customer]])),
    reason,
  })
  return readCustomer(tx, act, id)
}

const stoppedAt = (was: Customer, act: Act, stopped: boolean | undefined): number | null => {
  if (stopped === undefined) return was.mailsStoppedAt
  return stopped ? (was.mailsStoppedAt ?? act.now) : null
}

/** Takes a customer out of use; refused (409) while they are around a home, have a part in work or a kit is out with them. */
export async function voidCustomer(tx: Tx, act: Act, id: string, version: number, reason: string): Promise<Customer> {
  const was = await lockCustomer(tx, act, id)
  if (was.version !== version) throw stale(was.version)
  const { homes, parts, kits } = await tiesOf(tx, id, act.now)
  if (homes > 0)
    throw problem(409, 'still-around-a-home', `${was.name} is still around ${homes} home(s): end that first.`)
  if (parts > 0)
    throw problem(
      409,
      'still-in-work',
      `${was.name} still has a part in work, ${parts} in all: end or void that first.`,
    )
  if (kits > 0)
    throw problem(409, 'still-has-a-kit', `${was.name} still has ${kits} kit(s): enter what became of them first.`)
  await takeBackCustomers(tx, act, [id], reason)
  return readCustomer(tx, act, id)
}

/** Takes customers out of use whom the caller knows to be around no home. */
export async function takeBackCustomers(tx: Tx, act: Act, ids: readonly string[], reason: string): Promise<void> {
  const voided = await markCustomersVoided(tx, act.now, ids, reason)
  await recordWrites(
    tx,
    act,
    voided.map(row => ({ action: 'void', noun: 'customer', ...row, reason })),
  )
}
