/** Every address of a page, so that no link is written by hand. Ids are UUIDs; words are encoded here. */
const part = encodeURIComponent

function query(values: Readonly<Record<string, string | number | null | undefined>>): string {
  const given = Object.entries(values).filter(([, value]) => value !== undefined && value !== null && value !== '')
  return given.length === 0 ? '' : `?${given.map(([key, value]) => `${key}=${part(String(value))}`).join('&')}`
}

export const paths = {
  ledger: (shown: { kind?: string; after?: string } = {}) => `/${query(shown)}`,
  signIn: (next?: string) => `/sign-in${query({ next })}`,
  signOut: () => '/sign-out',
  forgotten: () => '/forgotten',
  setPassword: (token: string) => `/set-password/${part(token)}`,
  account: () => '/account',
  confirm: (next?: string) => `/confirm${query({ next })}`,
  search: (q?: string) => `/search${query({ q })}`,
  phone: (q?: string) => `/phone${query({ q })}`,

  homes: (shown: { show?: string; after?: string } = {}) => `/homes${query(shown)}`,
  newHome: () => '/homes/new',
  missing: (shown: { what?: string; after?: string } = {}) => `/homes/missing${query(shown)}`,
  home: (id: string) => `/homes/${id}`,
  homePhone: (id: string, shown: { reported?: string | null; system?: string } = {}) =>
    `/homes/${id}/phone${query(shown)}`,
  changeHome: (id: string) => `/homes/${id}/change`,
  homeRooms: (id: string) => `/homes/${id}/rooms`,
  homePeople: (id: string) => `/homes/${id}/people`,
  homeEvents: (id: string) => `/homes/${id}/events`,
  homeNotes: (id: string) => `/homes/${id}/notes`,
  homeDocument: (id: string, kind: string) => `/homes/${id}/documents/${part(kind)}`,
  homeClosing: (id: string) => `/homes/${id}/closing`,
  homeLink: (id: string) => `/homes/${id}/link`,
  homeChanges: (id: string) => `/homes/${id}/changes`,

  newTest: (homeId: string) => `/homes/${homeId}/tests/new`,
  setDevice: (homeId: string) => `/homes/${homeId}/tests/new?doing=set`,
  test: (id: string) => `/tests/${id}`,
  changeTest: (id: string) => `/tests/${id}/change`,
  testStep: (id: string, step: string) => `/tests/${id}/${part(step)}`,
  newImport: (homeId?: string) => `/imports/new${query({ home: homeId })}`,
  imports: () => '/imports',
  import: (id: string) => `/imports/${id}`,
  importStep: (id: string, step: string) => `/imports/${id}/${part(step)}`,

  newSystem: (homeId: string) => `/homes/${homeId}/systems/new`,
  system: (id: string) => `/systems/${id}`,
  changeSystem: (id: string) => `/systems/${id}/change`,
  systemGauge: (id: string) => `/systems/${id}/gauge`,
  systemStep: (id: string, step: string) => `/systems/${id}/${part(step)}`,

  devices: () => '/devices',
  newDevice: () => '/devices/new',
  device: (id: string) => `/devices/${id}`,
  deviceStep: (id: string, step: string) => `/devices/${id}/${part(step)}`,
  absenceStep: (id: string, absenceId: string, step: string) => `/devices/${id}/absences/${absenceId}/${part(step)}`,
  homeDevices: (homeId: string) => `/homes/${homeId}/devices`,
  bookMonitor: (homeId: string) => `/homes/${homeId}/devices/bookings`,
  leaveKit: (homeId: string) => `/homes/${homeId}/devices/kits`,
  bookingStep: (id: string, step: string) => `/bookings/${id}/${part(step)}`,
  kit: (id: string) => `/kits/${id}`,
  kitStep: (id: string, step: string) => `/kits/${id}/${part(step)}`,
  kitAnswer: (number?: string) => `/kits/answer${query({ number })}`,
  chase: () => '/chase',
  kitLimits: () => '/chase/limits',
  people: (shown: { q?: string; after?: string } = {}) => `/people${query(shown)}`,
  newPerson: () => '/people/new',
  doubledPeople: () => '/people/doubles',
  /** Two entries of one person: the first goes, `into` stays. */
  mergePerson: (id: string, into?: string) => `/people/${id}/merge${query({ with: into })}`,
  /** Whether two entries are two people; `from` a list it leads back there. */
  peopleApart: (id: string, other?: string, from?: 'list') => `/people/${id}/apart${query({ with: other, from })}`,
  person: (id: string) => `/people/${id}`,
  changePerson: (id: string) => `/people/${id}/change`,

  visits: (shown: { from?: string } = {}) => `/visits${query(shown)}`,
  newVisit: (homeId: string, filled: { purpose?: string; instructions?: string; month?: string } = {}) =>
    `/homes/${homeId}/visits/new${query(filled)}`,
  visit: (id: string) => `/visits/${id}`,
  visitStep: (id: string, step: string) => `/visits/${id}/${part(step)}`,
  day: (shown: { on?: string; who?: string } = {}) => `/day${query(shown)}`,
  month: (
    shown: {
      month?: string
      kind?: string | null
      state?: string | null
      region?: string | null
      where?: string | null
      after?: string
    } = {},
  ) => `/month${query(shown)}`,
  homeMonth: (homeId: string, month?: string) => `/homes/${homeId}/month${query({ month })}`,
  homeMonthStep: (homeId: string, step: string, month?: string) =>
    `/homes/${homeId}/month/${part(step)}${query({ month })}`,
  voidOutreach: (id: string, month?: string) => `/outreach/${id}/void${query({ month })}`,
  newCallback: (homeId: string) => `/homes/${homeId}/callbacks/new`,
  callback: (id: string) => `/callbacks/${id}`,
  callbackStep: (id: string, step: string) => `/callbacks/${id}/${part(step)}`,

  workParties: (subject: string, id: string) => `/work/${subject}/${id}`,
  workPartyStep: (subject: string, id: string, partyId: string, step: string) =>
    `/work/${subject}/${id}/${partyId}/${part(step)}`,

  corrections: (shown: { after?: string } = {}) => `/corrections${query(shown)}`,
  correction: (id: string) => `/corrections/${id}`,
  undoCorrection: (id: string) => `/corrections/${id}/undo`,
  /** What can be put right of a record. */
  putRight: (noun: string, id: string) => `/put-right/${noun}/${id}`,
  putRightStep: (noun: string, id: string, step: string) => `/put-right/${noun}/${id}/${part(step)}`,

  rules: () => '/rules',
  rule: (code: string, from?: string) => `/rules/${part(code)}${query({ from })}`,
  /** Changes of rules that are thought of. */
  ruleDrafts: () => '/rule-drafts',
  newRuleDraft: (code: string) => `/rule-drafts/new${query({ code })}`,
  ruleDraft: (id: string, shown: { kind?: string; after?: string } = {}) => `/rule-drafts/${id}${query(shown)}`,
  ruleDraftStep: (id: string, step: string) => `/rule-drafts/${id}/${part(step)}`,
  ruleDraftHome: (id: string, homeId: string) => `/rule-drafts/${id}/homes/${homeId}`,
  outbox: (shown: { state?: string; after?: string } = {}) => `/outbox${query(shown)}`,
  mail: (id: string) => `/outbox/${id}`,
  mailStep: (id: string, step: string) => `/outbox/${id}/${part(step)}`,
  staff: () => '/staff',
  staffMember: (id: string) => `/staff/${id}`,
  inviteStaff: () => '/staff/new',
  staffStep: (id: string, step: string) => `/staff/${id}/${part(step)}`,
  apps: () => '/apps',
  newApp: () => '/apps/new',
  app: (id: string) => `/apps/${id}`,
  appStep: (id: string, step: string) => `/apps/${id}/${part(step)}`,
  company: () => '/company',
  everything: () => '/company/everything',
  credentials: (change?: string) => `/credentials${query({ change })}`,
  credentialStep: (id: string, step: string) => `/credentials/${id}/${part(step)}`,
  changes: (shown: { who?: string; what?: string; after?: string } = {}) => `/changes${query(shown)}`,
  file: (id: string) => `/files/${id}`,

  scheme: () => '/scheme',
  mailTest: () => '/outbox/test',
  outboxToday: () => '/outbox/today',
  reports: (shown: { state?: string } = {}) => `/reports${query(shown)}`,
  report: (id: string) => `/reports/${id}`,
  reportStep: (id: string, step: string) => `/reports/${id}/${part(step)}`,

  /** In a mail: the token is the permission. It is exchanged for a cookie of the home's page. */
  homeowner: (token: string) => `/h/${token}`,
  stopMails: (token: string) => `/h/${token}/stop`,
  /** What a homeowner sees: the page of a link, which opens with its cookie only. */
  homeownerPage: (linkId: string, said?: string) => `/h/home/${linkId}${query({ said })}`,
  homeownerReport: (linkId: string) => `/h/home/${linkId}/report`,
  homeownerMails: (linkId: string) => `/h/home/${linkId}/mails`,
} as const
