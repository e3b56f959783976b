import { changeCustomers, forgetFormerDetails, passOnFormerDetails } from '../../features/customers/merge-customer.ts'
import { instant, madeAnew, type NounParts, reference } from '../record-parts.ts'

const detail = (column: string, what: string) => reference(column, `Their ${what} was corrected since.`)
const stopped = 'They asked for no more mails, or for mails again, since.'
const refused = 'Their mail address was refused, or corrected, since.'
const voided = 'The doubled entry was put back into use, or taken out again, since.'

export const customerParts: NounParts = {
  table: 'customer',
  fields: {
    kind: detail('kind', 'kind'),
    name: detail('name', 'name'),
    email: detail('email', 'mail address'),
    phone: detail('phone', 'phone'),
    street: detail('street', 'postal address'),
    city: detail('city', 'postal address'),
    region: detail('region', 'postal address'),
    postcode: detail('postcode', 'postal address'),
    country: detail('country', 'postal address'),
    language: detail('language', 'language'),
    preferredChannel: detail('preferred_channel', 'preferred way to be reached'),
    note: detail('note', 'note'),
    mailsStoppedAt: instant('mails_stopped_at', stopped),
    mailRefusedAt: instant('mail_refused_at', refused),
    mailRefusal: reference('mail_refusal', refused),
    voidedAt: instant('voided_at', voided),
    voidReason: reference('void_reason', voided),
    mergedIntoId: reference('merged_into_id', 'They were merged with yet another entry since: undo that first.'),
  },
  putBack: (tx, act, records, reason) =>
    changeCustomers(
      tx,
      act,
      records.map(({ id, was }) => ({ id, ...was })),
      reason,
    ),
}

export const formerDetailParts: NounParts = {
  table: 'former_detail',
  fields: {
    made: madeAnew('A former name or address was taken out since.'),
    customerId: reference('customer_id', 'They were merged with yet another entry since: undo that first.'),
  },
  async putBack(tx, act, records) {
    const made = records.filter(({ was }) => 'made' in was)
    await forgetFormerDetails(
      tx,
      act,
      made.map(({ id }) => id),
    )
    const passedOn = records.filter(({ was }) => 'customerId' in was)
    await passOnFormerDetails(
      tx,
      passedOn.map(({ id, was }) => ({ id, customerId: was.customerId as string })),
    )
  },
}
