/**
 * The demo company, its people, devices and customers. All invented: no such company, person, town or street is meant.
 */
export const company = {
  name: 'Fernhollow Radon Works',
  street: '4 Tannery Yard',
  city: 'Alder Falls',
  region: 'MN',
  postcode: '',
  country: 'US',
  zone: 'America/Chicago',
  defaultUnit: 'pCi/L',
  phone: '+1 612 555 0142',
  replyTo: 'office@fernhollow.example',
  letterhead: '',
} as const

/** Licences and certificates, invented like their issuers. */
export const credentials = [
  { holder: null, kind: 'licence', issuer: 'Invented Radon Office', number: 'RM-0000', expiresInDays: 410 },
  { holder: null, kind: 'licence', issuer: 'Invented Radon Office', number: 'RT-0000', expiresInDays: 38 },
  { holder: 'crew', kind: 'certificate', issuer: 'Invented Board', number: 'C-0000', expiresInDays: 200 },
] as const

/** Demo sign-ins; the password is printed at start and works in the demo only. */
export const staff = [
  { key: 'owner', name: 'Maren Oakes', email: 'maren@fernhollow.example', roles: ['owner', 'office'] },
  { key: 'office', name: 'Idris Pell', email: 'idris@fernhollow.example', roles: ['office'] },
  { key: 'crew', name: 'Jo Tamarack', email: 'jo@fernhollow.example', roles: ['crew'] },
  { key: 'crew-two', name: 'Wes Alderby', email: 'wes@fernhollow.example', roles: ['crew'] },
] as const

export const devices = [
  {
    key: 'monitor-a',
    kind: 'monitor',
    method: 'continuous-monitor',
    model: 'hourly monitor',
    serial: 'HM-2207',
    sensitivity: '16',
    sensitivityUnit: 'cph per pCi/L',
    calibratedDaysAgo: 120,
  },
  {
    key: 'monitor-b',
    kind: 'monitor',
    method: 'continuous-monitor',
    model: 'hourly monitor',
    serial: 'HM-2291',
    sensitivity: '16',
    sensitivityUnit: 'cph per pCi/L',
    calibratedDaysAgo: 340,
  },
  {
    key: 'monitor-c',
    kind: 'monitor',
    method: 'continuous-monitor',
    model: 'half-hour monitor',
    serial: 'QM-0083',
    sensitivity: '30',
    sensitivityUnit: 'cph per pCi/L',
    calibratedDaysAgo: 30,
  },
  {
    key: 'monitor-d',
    kind: 'monitor',
    method: 'continuous-monitor',
    model: 'half-hour monitor',
    serial: 'QM-0091',
    sensitivity: '30',
    sensitivityUnit: 'cph per pCi/L',
    calibratedDaysAgo: 60,
  },
  {
    key: 'monitor-e',
    kind: 'monitor',
    method: 'continuous-monitor',
    model: 'hourly monitor',
    serial: 'HM-2302',
    sensitivity: '16',
    sensitivityUnit: 'cph per pCi/L',
    calibratedDaysAgo: 200,
  },
  {
    key: 'monitor-f',
    kind: 'monitor',
    method: 'continuous-monitor',
    model: 'hourly monitor',
    serial: 'HM-2150',
    sensitivity: '16',
    sensitivityUnit: 'cph per pCi/L',
    calibratedDaysAgo: 300,
  },
  {
    key: 'charcoal',
    kind: 'kit-lot',
    method: 'activated-charcoal',
    model: 'charcoal canister',
    lot: 'AC-26-104',
    kitCount: 40,
  },
  {
    key: 'charcoal-b',
    kind: 'kit-lot',
    method: 'activated-charcoal',
    model: 'charcoal canister',
    lot: 'AC-26-131',
    kitCount: 48,
    usableDays: 150,
  },
  { key: 'track', kind: 'kit-lot', method: 'alpha-track', model: 'track detector', lot: 'AT-26-017', kitCount: 60 },
] as const

export const customers = [
  { key: 'birch', name: 'Della Birchwood', email: 'della.birchwood@post.example', phone: '+1 612 555 0101' },
  { key: 'quarry', name: 'Anselm Quarrie', email: 'anselm@post.example', phone: '+1 612 555 0102' },
  { key: 'former', name: 'Tobias Fennimore', email: 'tobias.fennimore@post.example', phone: '+1 612 555 0103' },
  { key: 'larch', name: 'Oona Larchmont', email: 'oona.larchmont@post.example', phone: '+1 612 555 0104' },
  { key: 'heron', name: 'Priya Heronsgate', email: 'priya@post.example', phone: '+1 612 555 0105' },
  { key: 'sorrel', name: 'Casimir Sorrel', email: 'casimir.sorrel@post.example', phone: '+1 612 555 0106' },
  { key: 'mallow', name: 'Ruth Mallowfield', email: null, phone: '+1 612 555 0107' },
  { key: 'ibsley', name: 'Noor Ibsley', email: 'noor.ibsley@post.example', phone: '+1 612 555 0108' },
  { key: 'vance', name: 'Étienne Vancourt', email: 'etienne.vancourt@post.example', phone: '+1 416 555 0109' },
  { key: 'maple', name: 'Greta Maplethorn', email: 'greta@post.example', phone: '+1 416 555 0110' },
  { key: 'thorn', name: 'Winifred Thornley', email: 'winifred.thornley@post.example', phone: '+44 20 7946 0111' },
  {
    key: 'school',
    name: 'Alder Falls School Board',
    email: 'facilities@alderfalls-school.example',
    phone: '+1 612 555 0112',
    kind: 'company',
  },
  { key: 'kauri', name: 'Hemi Kaurinui', email: 'hemi@post.example', phone: null },
] as const

export type CustomerKey = (typeof customers)[number]['key']
export type DeviceKey = (typeof devices)[number]['key']
