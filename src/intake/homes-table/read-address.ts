import { partUnit } from '../../domain/address/address-key.ts'
import type { AddressCells } from './home-facts.ts'

/** ISO 3166-2:US and :CA, and the names people write. */
// biome-ignore format: a table
const REGIONS: Readonly<Record<string, string>> = {
  alabama: 'AL', alaska: 'AK', arizona: 'AZ', arkansas: 'AR', california: 'CA', colorado: 'CO', connecticut: 'CT', delaware: 'DE',
  'district of columbia': 'DC', florida: 'FL', georgia: 'GA', hawaii: 'HI', idaho: 'ID', illinois: 'IL', indiana: 'IN', iowa: 'IA',
  kansas: 'KS', kentucky: 'KY', louisiana: 'LA', maine: 'ME', maryland: 'MD', massachusetts: 'MA', michigan: 'MI', minnesota: 'MN',
  mississippi: 'MS', missouri: 'MO', montana: 'MT', nebraska: 'NE', nevada: 'NV', 'new hampshire': 'NH', 'new jersey': 'NJ',
  'new mexico': 'NM', 'new york': 'NY', 'north carolina': 'NC', 'north dakota': 'ND', ohio: 'OH', oklahoma: 'OK', oregon: 'OR',
  pennsylvania: 'PA', 'rhode island': 'RI', 'south carolina': 'SC', 'south dakota': 'SD', tennessee: 'TN', texas: 'TX', utah: 'UT',
  vermont: 'VT', virginia: 'VA', washington: 'WA', 'west virginia': 'WV', wisconsin: 'WI', wyoming: 'WY',
  alberta: 'AB', 'british columbia': 'BC', manitoba: 'MB', 'new brunswick': 'NB', newfoundland: 'NL', 'nova scotia': 'NS',
  ontario: 'ON', 'prince edward island': 'PE', quebec: 'QC', saskatchewan: 'SK', yukon: 'YT',
  minn: 'MN', wis: 'WI', wisc: 'WI', mich: 'MI', ill: 'IL', ind: 'IN', penn: 'PA', penna: 'PA', mass: 'MA', conn: 'CT', colo: 'CO',
}
const CODES = new Set(Object.values(REGIONS))
const POSTCODE = /[\s,]+(\d{5}(?:-?\d{4})?|[A-Z]\d[A-Z] ?\d[A-Z]\d)$/i
const COUNTRY = /[\s,]+(?:u\.?s\.?a?\.?|united states(?: of america)?|canada)$/i

/** `Minn.`, `minnesota` and `mn` are `MN`; what is none of these stays as it is. */
export function regionOf(written: string): string {
  const plain = written.trim().toLowerCase().replaceAll('.', '').replaceAll(/\s+/g, ' ')
  const named = REGIONS[plain]
  if (named) return named
  return CODES.has(plain.toUpperCase()) ? plain.toUpperCase() : written.trim()
}

/** A ZIP that a spreadsheet took for a number lost its zeros in front, and sometimes gained `.0`. */
export function postcodeOf(written: string, country: string): string {
  const plain = written.trim().replace(/\.0$/, '')
  if (country !== 'US') return plain
  if (/^\d{3,4}$/.test(plain)) return plain.padStart(5, '0')
  return /^\d{9}$/.test(plain) ? `${plain.slice(0, 5)}-${plain.slice(5)}` : plain
}

type Defaults = Pick<AddressCells, 'city' | 'region' | 'country'>

/** A whole address in one cell: `12 Elm St Apt 4, Duluth, MN 55802`, over one line or several. */
export function wholeAddress(cell: string, defaults: Defaults): AddressCells {
  let rest = cell
    .replaceAll(/\s*\n\s*/g, ', ')
    .replaceAll(/\s+/g, ' ')
    .trim()
    .replace(COUNTRY, '')
  const postcode = POSTCODE.exec(rest)?.[1] ?? ''
  if (postcode !== '') rest = rest.slice(0, rest.length - postcode.length)
  rest = rest.replace(/[\s,]+$/, '')
  const region = regionAtEnd(rest)
  if (region !== null) rest = rest.slice(0, region.from).replace(/[\s,]+$/, '')
  const parts = rest
    .split(',')
    .map(part => part.trim())
    .filter(part => part !== '')
  const city = parts.length > 1 ? parts.pop()! : ''
  const parted = partUnit(parts.join(', '))
  return {
    ...parted,
    city: city || (defaults.city ?? ''),
    region: region?.code ?? defaults.region,
    postcode: postcodeOf(postcode, defaults.country),
    country: defaults.country,
  }
}

// Behind a comma a state may be written out; elsewhere only its two capitals are no part of a street.
function regionAtEnd(text: string): { readonly code: string; readonly from: number } | null {
  const behindComma = /,\s*([\p{L}. ]+)$/u.exec(text)
  if (behindComma) {
    const code = regionOf(behindComma[1]!)
    if (CODES.has(code)) return { code, from: behindComma.index }
  }
  const capitals = /[\s,]([A-Z]{2})$/.exec(text)
  return capitals && CODES.has(capitals[1]!) && text.includes(',') ? { code: capitals[1]!, from: capitals.index } : null
}

const STREET = String.raw`\d+[A-Za-z]?(?: \d\/\d)?(?: [\p{L}.'’]+)+`

/** Two homes in one cell: `12 & 14 Elm St`, `12 Elm St / 14 Elm St`. A half number or a range is one. */
export const namesTwoHomes = (cell: string): boolean =>
  /^\s*\d+[a-z]?\s*(?:&|\+|\band\b|;)\s*\d+[a-z]?\s+\p{L}/iu.test(cell) ||
  /^\s*\d{2,}\s*\/\s*\d{2,}\s+\p{L}/u.test(cell) ||
  new RegExp(`${STREET}\\s*(?:&|\\+|/|;|\\band\\b|\\n)\\s*${STREET}`, 'iu').test(cell)
