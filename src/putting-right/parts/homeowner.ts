import { handOverLinks, handOverReports } from '../../features/homeowner/hand-over-page.ts'
import { type NounParts, type PutBack, reference } from '../record-parts.ts'

const given = ({ id, was }: PutBack) => ({ id, customerId: was.customerId as string })

export const linkParts: NounParts = {
  table: 'homeowner_link',
  fields: { customerId: reference('customer_id', 'A link to a home’s page went to somebody else since.') },
  putBack: (tx, _act, records) => handOverLinks(tx, records.map(given)),
}

export const reportParts: NounParts = {
  table: 'homeowner_report',
  fields: { customerId: reference('customer_id', 'What was sent in was said to be somebody else’s since.') },
  putBack: (tx, act, records, reason) => handOverReports(tx, act, records.map(given), reason),
}
