/** What the feed tells of, and the scope under which a record of the kind is read. Others stay inside the company. */
export const scopeOfNoun: Readonly<Record<string, string>> = {
  company: 'company:read',
  customer: 'customers:read',
  property: 'properties:read',
  standing: 'properties:read',
  system: 'systems:read',
  device: 'devices:read',
  test: 'tests:read',
  callback: 'callbacks:read',
  visit: 'visits:read',
  note: 'notes:read',
  policy: 'policies:read',
}

/** The nouns whose records these scopes may read. */
export const nounsOf = (scopes: readonly string[]): string[] =>
  Object.keys(scopeOfNoun).filter(noun => scopes.includes(scopeOfNoun[noun]!))

/** Records of the company itself rather than of a home: an app that sees some homes only sees these too. */
export const companysOwn = ['company', 'device', 'policy']
