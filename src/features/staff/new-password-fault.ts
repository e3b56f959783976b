import { type Db, sql } from '../../platform/db/client.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import { passwordFault } from './password-faults.ts'

const companyName = sql('staff-company-name', 'select name from company')

/** What speaks against a new password, for the form; the person's and the company's names are guessed first. */
export async function newPasswordFault(
  db: Db,
  password: string,
  person: { name: string; email: string },
): Promise<FieldFault[]> {
  const company = (await db.one<{ name: string }>(companyName))?.name ?? ''
  const fault = await passwordFault(password, [person.name, person.email, company])
  return fault ? [{ name: 'password', message: fault.detail }] : []
}
