/** Every scope of the API and what it lets an app do, in the words of the page where the owner ticks them. */
export const scopes = {
  'company:read': 'read the company’s name, address, licences and logo',
  'customers:read': 'read customers without ways to reach them',
  'customers:write': 'add and correct customers',
  'contacts:read': 'read mail addresses, phone numbers and postal addresses of people',
  'properties:read': 'read homes, their areas, test locations and owners, and how they stand',
  'properties:write': 'add and correct homes',
  'systems:read': 'read mitigation systems and their history',
  'systems:write': 'add and correct mitigation systems',
  'devices:read': 'read monitors, kits and calibrations',
  'devices:write': 'add and correct monitors, kits and calibrations',
  'tests:read': 'read tests, readings and results with their working',
  'tests:write': 'record and correct tests',
  'callbacks:read': 'read callbacks',
  'callbacks:write': 'record, correct and close callbacks',
  'visits:read': 'read visits',
  'visits:write': 'plan, correct and close visits',
  'notes:read': 'read notes and photos',
  'notes:write': 'add notes and photos',
  'policies:read': 'read the rule sets and their versions',
  'imports:write': 'read in files of results, and undo them',
  'corrections:read': 'read what was put right, with its reason and what it changed',
  'corrections:write': 'move, void, merge and read again what was recorded wrongly, and undo it',
  'changes:read': 'follow the feed of changes',
} as const

export type Scope = keyof typeof scopes
export const allScopes = Object.keys(scopes) as Scope[]
export const isScope = (text: string): text is Scope => Object.hasOwn(scopes, text)
