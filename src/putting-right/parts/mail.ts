import { handOverMails, handOverNotices } from '../../features/reminders/hand-over-mails.ts'
import { type NounParts, type PutBack, reference } from '../record-parts.ts'

const given = ({ id, was }: PutBack) => ({ id, customerId: was.customerId as string })

export const mailParts: NounParts = {
  table: 'mail',
  fields: { customerId: reference('customer_id', 'A mail was said to be somebody else’s since.') },
  putBack: (tx, _act, records) => handOverMails(tx, records.map(given)),
}

export const noticeParts: NounParts = {
  table: 'notice',
  fields: { customerId: reference('customer_id', 'A reminder was said to be somebody else’s since.') },
  putBack: (tx, _act, records) => handOverNotices(tx, records.map(given)),
}
