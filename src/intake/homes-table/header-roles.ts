import type { HomeRole } from './homes-reading.ts'

const BEFORE = String.raw`\b(?:pre|before|initial|first|orig(?:inal)?|baseline|pre-?mit\w*|screening)\b`
const AFTER = String.raw`\b(?:post|after|clearance|post-?mit\w*|follow-?up|final)\b`
const LAST = String.raw`\b(?:last|latest|recent|current|re-?test|most recent|biennial)\b`
const RADON = String.raw`(?:radon|result|level|reading|pci|bq|concentration|\brn\b|test)`
const test = (which: string, what: string) => new RegExp(`(?=.*${which})(?=.*${what})`)
const WHEN = String.raw`\b(?:date|dt|when|day|on)\b`

/** What a header names, the more particular first: `Post test date` is no result, `Fan serial` is no model. */
const NAMES: readonly (readonly [HomeRole, RegExp])[] = [
  ['home-id', /^(?:home|property|house|underslab)[ -]?id$/],
  ['before-unit', test(BEFORE, String.raw`\bunits?\b`)],
  ['after-unit', test(AFTER, String.raw`\bunits?\b`)],
  ['last-unit', test(LAST, String.raw`\bunits?\b`)],
  ['before-method', test(BEFORE, String.raw`method|device|\bkit\b|detector`)],
  ['after-method', test(AFTER, String.raw`method|device|\bkit\b|detector`)],
  ['last-method', test(LAST, String.raw`method|device|\bkit\b|detector`)],
  ['fan-serial', /(?=.*(?:serial|s\/n|\bsn\b|ser\b))(?!.*(?:monitor|kit))/],
  ['fan-installed', /(?=.*fan)(?=.*(?:date|install|replac|when|year|age|since|\bnew\b|\bon\b))/],
  ['fan-model', /\bfans?\b|blower/],
  ['before-date', test(BEFORE, WHEN)],
  ['after-date', test(AFTER, WHEN)],
  ['last-date', test(LAST, WHEN)],
  ['before-result', test(BEFORE, RADON)],
  ['after-result', test(AFTER, RADON)],
  ['last-result', test(LAST, RADON)],
  ['before-result', new RegExp(`^${BEFORE}$`)],
  ['after-result', new RegExp(`^${AFTER}$`)],
  ['gauge-unit', /(?=.*(?:gauge|manometer|pressure|vac))(?=.*units?\b)/],
  ['gauge', /gauge|manometer|u-?tube|pressure|vacuum|\bin\.? ?w\.?c|inches (?:of )?water|start-?up/],
  ['alarm', /alarm/],
  ['owner-since', /(?=.*(?:owner|bought|moved in|purchase|closing|since))(?=.*(?:since|date|from|bought|moved|when))/],
  ['owner-first-name', /(?:first|given) ?name|^first$|^fname$/],
  ['owner-last-name', /last ?name|surname|family name|^last$|^lname$/],
  ['tenant-phone', /(?=.*(?:tenant|renter|occupant))(?=.*(?:phone|tel|cell|mobile|contact))/],
  ['tenant', /tenant|renter|occupant/],
  ['manager-phone', /(?=.*(?:manager|mgr|landlord|mgmt|agent))(?=.*(?:phone|tel|cell|mobile))/],
  ['manager', /manager|mgr\b|property mgmt|management/],
  ['second-owner', /(?:2nd|second|co-?|other|joint).*owner|owner ?(?:2|two)\b|spouse|partner/],
  ['email', /e-?mail/],
  ['phone', /phone|\btel\b|telephone|\bcell\b|mobile|\bph\b|contact (?:no|num|#)/],
  ['installer', /installer|installed by|contractor|\bcrew\b|mitigator|\btech(?:nician)?\b/],
  ['installed', /install|mitigat\w* (?:date|on)|job date|system date|completed|completion|date of (?:work|job)|^date$/],
  ['system-type', /system ?type|type of system|mitigation type|^system$|^type$|sys type/],
  ['tag', /\btag\b|job ?(?:#|no|num\w*|id)|system ?(?:#|no|num\w*|id)|invoice|ticket|^#$|^no\.?$|\bfile ?(?:#|no)/],
  ['label', /label|sticker/],
  ['unit-of-home', /^apt|apartment|^unit(?: ?(?:#|no|number))?$|^suite|^flat$/],
  ['postcode', /\bzip|post ?code|postal/],
  ['country', /^country$/],
  ['region', /^(?:st|state|province|prov|region)\b/],
  ['city', /^(?:city|town|municipality|township|twp|village)\b|property city/],
  [
    'address',
    /full address|^address(?:es)?$|property address|site address|job address|location|^property$|^home$|^house$/,
  ],
  ['street', /street|address ?(?:1|line)|house (?:no|num)|^addr\b|address/],
  ['year-built', /year built|built|^yr\b|construct|age of (?:home|house)/],
  ['foundation', /foundation|basement|slab|crawl|^fdn|house type|home type/],
  ['owner', /owner|\bname\b|\bcust(?:omer)?s?\b|client|^contact$|resident/],
  ['note', /note|comment|remark|memo|misc|special|follow|instruction/],
  ['before-result', /^radon|^result|radon level|^pci/],
]

const plain = (name: string): string => name.toLowerCase().replaceAll(/[_:]+/g, ' ').replaceAll(/\s+/g, ' ').trim()

/** Several columns may hold these: a second phone, a second column of notes. */
const MANY: ReadonlySet<HomeRole> = new Set(['note', 'phone', 'email', 'tag'])

/** The role that a header names; `ignored` for one that names none we know. */
export function homeRoleOf(name: string, taken: ReadonlySet<HomeRole>): HomeRole {
  const words = plain(name)
  if (words === '') return 'ignored'
  return NAMES.find(([role, pattern]) => (!taken.has(role) || MANY.has(role)) && pattern.test(words))?.[0] ?? 'ignored'
}

/** The roles of a row of headers, each taken by the first that names it. */
export function rolesOf(headers: readonly string[]): readonly HomeRole[] {
  const taken = new Set<HomeRole>()
  const roles = headers.map(name => {
    const role = homeRoleOf(name, taken)
    if (role !== 'ignored') taken.add(role)
    return role
  })
  return withWholeAddress(roles)
}

/** An address whose town has a column of its own is a street. */
const withWholeAddress = (roles: readonly HomeRole[]): readonly HomeRole[] =>
  roles.includes('city') && !roles.includes('street')
    ? roles.map(role => (role === 'address' ? 'street' : role))
    : roles
