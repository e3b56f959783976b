import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { stale } from '../../platform/http/problem.ts'
import { type CompanySettings, insertCompany, insertLogo, lockCompany, updateCompany } from './queries.ts'
import type { Logo } from './reencode-logo.ts'

// The company is one row; its id in the audit log and the change feed is the same everywhere.
export const companyId = '00000000-0000-7000-8000-000000000001'

const atFirst: CompanySettings = {
  name: 'Our company',
  street: '',
  city: '',
  region: '',
  postcode: '',
  country: '',
  zone: 'UTC',
  defaultUnit: 'pCi/L',
  defaultPressureUnit: 'in. w.c.',
  phone: '',
  replyTo: '',
  letterhead: '',
  logoSha256: null,
  crewSees: 'whole-home',
  crewDaysAfter: 14,
  remindersReleasedAt: null,
  dailyMailCap: 100,
  sendFromHour: 9,
  sendToHour: 18,
  resultMailOnAcceptance: false,
  electricityPrice: null,
  electricityCurrency: null,
  cautionAdded: '',
  // What follows is common practice, no source, until the company says how it works.
  credentialWarningDays: 60,
  workingWeek: [...Array(5).fill([{ from: '08:00', until: '17:00' }]), [], []],
  holidays: [],
  installMinutes: 360,
  setMinutes: 30,
  pickUpMinutes: 30,
  otherVisitMinutes: 60,
  reportMinutes: 60,
  laboratoryDays: 7,
  fanAgeYears: 10,
}

/** Sets the company up, unless it is; reminders start paused. Gives whether it was done. */
export async function setUpCompany(tx: Tx, act: Act, given: Partial<CompanySettings> = {}): Promise<boolean> {
  const made = await insertCompany(tx, act.now, { ...atFirst, ...given })
  if (made) await recordWrite(tx, act, { action: 'create', noun: 'company', id: companyId, version: 1 })
  return made
}

/** Changes what the company says of itself and how it wants to work; the old values stay as a revision. */
export async function changeCompany(
  tx: Tx,
  act: Act,
  version: number,
  change: Partial<CompanySettings>,
): Promise<void> {
  const { updatedAt: _, version: present, ...was } = await lockCompany(tx)
  if (present !== version) throw stale(present)
  await updateCompany(tx, act.now, { ...was, ...change })
  await recordWrite(tx, act, {
    action: 'correct',
    noun: 'company',
    id: companyId,
    version: version + 1,
    fields: Object.keys(change),
    was: { ...was, logoSha256: was.logoSha256?.toString('hex') ?? null },
  })
}

/** Releases reminders, or pauses them: nothing more goes out from the next sweep on. */
export const releaseReminders = (tx: Tx, act: Act, version: number, released: boolean): Promise<void> =>
  changeCompany(tx, act, version, { remindersReleasedAt: released ? act.now : null })

/** Puts the logo that mails and papers print, or takes it away. */
export async function changeLogo(tx: Tx, act: Act, version: number, logo: Logo | null): Promise<void> {
  if (logo) await insertLogo(tx, act.now, logo.sha256, logo.bytes)
  await changeCompany(tx, act, version, { logoSha256: logo?.sha256 ?? null })
}
