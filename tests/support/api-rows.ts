import { day3, type Home, type HomeNoun } from './world.ts'

/** How one operation of the API is called on a home's records, and what answers when all is well. */
export type ApiRow = {
  /** What fills the parameters of the path, in order; text in quotes is taken as it stands. */
  readonly ids?: readonly (HomeNoun | `'${string}'`)[]
  readonly query?: (home: Home) => string
  readonly body?: (home: Home) => object
  readonly file?: { readonly field: string; readonly fields: (home: Home) => Record<string, string> }
  /** The noun whose version the change is meant for. */
  readonly version?: HomeNoun
  /** Belongs to the company, not to a home: whoever has the scope may. */
  readonly company?: true
  readonly ok: number
}

const reason = 'Misread on the form'
const void_ = () => ({ reason })
const onHome = (body: (home: Home) => object): ApiRow => ({ ids: ['property'], body, ok: 201 })
const list: ApiRow = { ok: 200 }
const read = (...ids: HomeNoun[]): ApiRow => ({ ids, ok: 200 })
const correct = (body: object, ...ids: HomeNoun[]): ApiRow => ({
  ids,
  body: () => ({ ...body, reason }),
  version: ids[0],
  ok: 200,
})

/** Reads first, then additions and corrections, what takes a record out of use last. */
export const apiRows: Readonly<Record<string, ApiRow>> = {
  listCustomers: list,
  readCustomer: read('customer'),
  listProperties: list,
  readProperty: read('property'),
  readFoundationArea: read('property', 'area'),
  readTestLocation: read('property', 'location'),
  listOwnership: read('property'),
  listPeopleOfProperty: read('property'),
  readPersonOfProperty: read('property', 'person'),
  listWorkParties: read('property'),
  readWorkParty: read('property', 'party'),
  listHomeEvents: read('property'),
  readHomeEvent: read('property', 'event'),
  readStanding: read('property'),
  readPropertyHistory: read('property'),
  listSystems: list,
  readSystem: read('system'),
  listTests: list,
  readTest: read('test'),
  listAttempts: read('test'),
  listDevices: { ...list, company: true },
  readDevice: { ...read('device'), company: true },
  readWhereabouts: { ...read('device'), company: true },
  listAbsences: { ...read('device'), company: true },
  readAbsence: { ...read('device', 'absence'), company: true },
  listChase: list,
  listBookings: list,
  readBooking: read('booking'),
  listKits: list,
  readKit: read('kit'),
  listKitLimits: { ...list, company: true },
  readKitLimit: { ...read('kitLimit'), company: true },
  listVisits: list,
  readVisit: read('visit'),
  listDueHomes: { query: () => '?month=2026-04', ok: 200 },
  listOutreach: list,
  readOutreach: read('outreach'),
  readClosing: {
    ids: ['property'],
    query: () => '?asks=fix-and-result&method=continuous-monitor&deadline=2026-03-20T16:00:00Z',
    ok: 200,
  },
  listCallbacks: list,
  readCallback: read('callback'),
  readFirstQuestions: { ids: ['property'], query: () => '?reported=alarm', ok: 200 },
  listNotes: { query: home => `?subject=property&subjectId=${home.property}`, ok: 200 },
  readNote: read('note'),
  readPhoto: read('photo'),
  readThumbnail: read('photo'),
  listPolicies: { ...list, company: true },
  readPolicy: { ...read('policy'), company: true },
  readCompany: { ...list, company: true },
  listChanges: list,
  searchHomes: { query: () => '?q=Street', ok: 200 },
  listImports: list,
  readImport: read('import'),
  listCorrections: list,
  readCorrection: read('correction'),
  listSavedReadings: { ...list, company: true },

  createCustomer: { body: () => ({ name: 'New person' }), company: true, ok: 201 },
  createProperty: {
    body: () => ({ street: '9 New Street', city: 'Duluth', region: 'MN', postcode: '55803', country: 'US' }),
    company: true,
    ok: 201,
  },
  addFoundationArea: onHome(() => ({ kind: 'slab', name: 'Addition' })),
  addTestLocation: onHome(() => ({ name: 'Den', floor: 0 })),
  addPersonToProperty: onHome(home => ({ customerId: home.customer, role: 'tenant' })),
  addWorkParty: onHome(home => ({
    subject: 'visit',
    subjectId: home.visit,
    customerId: home.buyer,
    part: 'pays',
  })),
  recordHomeEvent: onHome(() => ({ kind: 'renovation', at: day3 })),
  installSystem: onHome(() => ({ type: 'passive-stack' })),
  recordTest: onHome(home => ({
    purpose: 'retest',
    method: 'alpha-track',
    setAt: day3,
    exposures: [{ locationId: home.location }],
  })),
  planVisit: onHome(() => ({ purpose: 'bid', startsAt: '2026-03-04T16:00:00Z' })),
  recordOutreach: onHome(() => ({ kind: 'called', outcome: 'left-message', callAgainOn: '2026-03-05' })),
  recordCallback: onHome(() => ({ complaint: 'water' })),
  addComponent: { ids: ['system'], body: () => ({ kind: 'gauge' }), ok: 201 },
  addSuctionPoint: { ids: ['system'], body: () => ({ name: 'North' }), ok: 201 },
  addSystemEvent: { ids: ['system'], body: () => ({ kind: 'sealed', when: { at: day3 } }), ok: 201 },
  addGaugeReading: {
    ids: ['system'],
    body: () => ({ role: 'visit', value: '1.1', unit: 'in. w.c.', at: day3 }),
    ok: 201,
  },
  adoptBaseline: {
    ids: ['system'],
    body: () => ({ value: '0.8', unit: 'in. w.c.', at: day3, reason: 'No start-up value on the label' }),
    ok: 201,
  },
  recordDevice: {
    body: () => ({ kind: 'monitor', method: 'continuous-monitor', serial: 'M-77' }),
    company: true,
    ok: 201,
  },
  addCalibration: {
    ids: ['device'],
    body: () => ({ calibratedOn: '2026-01-02', validUntil: '2027-01-02' }),
    company: true,
    ok: 201,
  },
  bookMonitor: onHome(home => ({
    deviceId: home.device,
    from: '2026-03-16T15:00:00Z',
    until: '2026-03-18T15:00:00Z',
  })),
  leaveKit: onHome(home => ({ deviceId: home.lot, number: 'K-204', purpose: 'retest', leftOn: '2026-03-02' })),
  answerKit: {
    body: home => ({ number: home.kitNumber, result: { value: '2.2', unit: 'pCi/L' } }),
    ok: 201,
  },
  writeNote: { body: home => ({ subject: 'property', subjectId: home.property, text: 'Seen' }), ok: 201 },
  keepPhoto: { file: { field: 'photo', fields: home => ({ subject: 'property', subjectId: home.property }) }, ok: 201 },
  startImport: {
    file: { field: 'file', fields: home => ({ kind: 'monitor-record', propertyId: home.property }) },
    ok: 201,
  },

  putRight: { body: home => ({ kind: 'void', noun: 'visit', id: home.astray, reason }), ok: 201 },
  undoCorrection: { ids: ['correction'], body: void_, version: 'correction', ok: 200 },
  correctCustomer: correct({ note: 'Rings twice' }, 'customer'),
  correctProperty: correct({ note: 'Blue door' }, 'property'),
  correctFoundationArea: { ...correct({ name: 'Cellar' }, 'property', 'area'), version: 'area' },
  correctTestLocation: { ...correct({ note: 'By the stairs' }, 'property', 'location'), version: 'location' },
  correctSystem: correct({ note: 'Loud' }, 'system'),
  correctComponent: { ...correct({ note: 'New' }, 'system', 'component'), version: 'system' },
  correctTest: correct({ conditionsNote: 'Windy' }, 'test'),
  correctDevice: { ...correct({ note: 'Scratched' }, 'device'), company: true },
  correctAbsence: { ...correct({ place: 'Calibration hall' }, 'device', 'absence'), version: 'absence', company: true },
  moveBooking: correct({ from: '2026-04-10T15:00:00Z', until: '2026-04-12T15:00:00Z' }, 'booking'),
  correctKit: correct({ exposedFrom: '2026-02-25', exposedTo: '2026-03-01' }, 'kit'),
  changeKitLimit: {
    ids: ['kitLimit'],
    body: () => ({ askAfterDays: 21 }),
    version: 'kitLimit',
    company: true,
    ok: 200,
  },
  correctVisit: correct({ instructions: 'Knock' }, 'visit'),
  correctCallback: correct({ description: 'Louder' }, 'callback'),
  changeOwner: onHome(home => ({ customerId: home.buyer, onDay: '2026-02-20', because: 'sale' })),
  endPersonOfProperty: {
    ids: ['property', 'person'],
    body: () => ({ untilOn: '2026-02-01' }),
    version: 'person',
    ok: 204,
  },
  endWorkParty: {
    ids: ['property', 'party'],
    body: () => ({ lastOn: '2026-04-01' }),
    version: 'party',
    ok: 204,
  },
  pickUpTest: { ids: ['test'], body: () => ({ pickedUpAt: day3 }), version: 'test', ok: 200 },
  sendTestToLaboratory: {
    ids: ['test'],
    body: () => ({ sentToLabAt: '2026-02-06T12:00:00Z' }),
    version: 'test',
    ok: 200,
  },
  takeTestResults: {
    ids: ['test'],
    body: home => ({
      resultInAt: '2026-02-20T12:00:00Z',
      results: [{ exposureId: home.exposure, result: { value: '3.1', unit: 'pCi/L' } }],
    }),
    version: 'test',
    ok: 200,
  },
  acceptTestResult: { ids: ['test'], version: 'test', ok: 200 },
  reportVisit: { ids: ['visit'], body: () => ({ outcome: 'done' }), version: 'visit', ok: 200 },
  activateSystem: {
    ids: ['pipe'],
    body: () => ({ startedAt: day3, type: 'sub-slab-suction', fan: { model: 'Inline fan' } }),
    version: 'pipe',
    ok: 200,
  },
  closeCallback: {
    ids: ['callback'],
    body: () => ({ found: 'Loose clamp', done: 'Tightened' }),
    version: 'callback',
    ok: 200,
  },
  reopenCallback: { ids: ['callback'], body: void_, version: 'callback', ok: 200 },
  tellImport: { ids: ['import'], body: () => ({ told: {} }), version: 'import', ok: 200 },
  commitImport: {
    ids: ['import'],
    body: home => ({
      target: { propertyId: home.property, purpose: 'retest', exposure: { locationId: home.location } },
      saveReadingAs: 'Our monitor',
    }),
    ok: 201,
  },
  stopImport: { ids: ['import'], version: 'import', ok: 200 },
  releaseImportReminders: { ids: ['import'], version: 'import', ok: 200 },
  undoImport: { ids: ['import'], version: 'import', ok: 200 },
  removeSavedReading: { ids: ['saved'], company: true, ok: 204 },

  voidWorkParty: { ids: ['property', 'party'], body: void_, version: 'party', ok: 204 },
  voidAbsence: { ids: ['device', 'absence'], body: void_, version: 'absence', company: true, ok: 200 },
  sendMonitorAway: {
    ids: ['spare'],
    body: () => ({ kind: 'repair', fromOn: '2026-06-01', expectedBackOn: '2026-06-10' }),
    company: true,
    ok: 201,
  },
  endBooking: { ids: ['booking'], body: void_, version: 'booking', ok: 200 },
  voidKit: { ids: ['kit'], body: void_, version: 'kit', ok: 200 },
  voidNote: { ids: ['note'], body: void_, version: 'note', ok: 200 },
  voidCalibration: { ids: ['device', 'calibration'], body: void_, version: 'device', company: true, ok: 200 },
  voidHomeEvent: { ids: ['property', 'event'], body: void_, version: 'event', ok: 200 },
  voidSystemPart: { ids: ['system', "'component'", 'component'], body: void_, version: 'system', ok: 200 },
  voidCallback: { ids: ['callback'], body: void_, version: 'callback', ok: 200 },
  voidOutreach: { ids: ['outreach'], body: void_, version: 'outreach', ok: 200 },
  voidVisit: { ids: ['visit'], body: void_, version: 'visit', ok: 200 },
  voidTest: { ids: ['test'], body: void_, version: 'test', ok: 200 },
  voidSystem: { ids: ['system'], body: void_, version: 'system', ok: 200 },
  voidDevice: { ids: ['device'], body: void_, version: 'device', company: true, ok: 200 },
  voidTestLocation: { ids: ['property', 'location'], body: void_, version: 'location', ok: 204 },
  voidFoundationArea: { ids: ['property', 'area'], body: void_, version: 'area', ok: 204 },
  voidCustomer: { ids: ['customer'], body: void_, version: 'customer', ok: 409 },
  voidProperty: { ids: ['property'], body: void_, version: 'property', ok: 200 },
}
