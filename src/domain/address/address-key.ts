import { isShortForm, shortStreetWord } from './street-words.ts'

export type WrittenAddress = {
  readonly street: string
  readonly unit: string
  readonly city: string
  readonly region: string
  readonly postcode: string
}

const ordinals = ['first', 'second', 'third', 'fourth', 'fifth', 'sixth', 'seventh', 'eighth', 'ninth', 'tenth']
const unitMarks = new Set(['apt', 'apartment', 'unit', 'suite', 'ste', 'flat', 'no', 'number'])
/** What stands for a unit at the end of a street: `Apt 4`, `Unit B`, `# 12`. */
const unitAtEnd = /[\s,]+(?:(?:apt|apartment|unit|suite|ste|flat)\b\.?\s*#?|#)\s*([\p{L}\p{N}-]+)\s*$/iu

const ASCII = /^[\x20-\x7e]*$/
const plain = (text: string): string => (ASCII.test(text) ? text.toLowerCase() : withoutAccents(text))
const withoutAccents = (text: string): string =>
  text.normalize('NFKD').replaceAll(/\p{M}/gu, '').toLowerCase().replaceAll('ß', 'ss')
/** Words of letters, digits and strokes; apostrophes and points part none. */
const words = (text: string): readonly string[] =>
  plain(text)
    .replaceAll(/['’.]/g, '')
    .match(/[\p{L}\p{N}/]+/gu) ?? []

/** `1st` and `first` are one word, `0012` is `12`. */
function plainWord(word: string): string {
  const named = ordinals.indexOf(word)
  if (named >= 0) return String(named + 1)
  return word.replace(/^(\d+)(?:st|nd|rd|th)$/, '$1').replace(/^0+(?=\d)/, '')
}

/** A street and the unit that was written behind it: `12 Elm St #4` → `12 Elm St`, `#4`. */
export function partUnit(street: string): { readonly street: string; readonly unit: string } {
  const found = unitAtEnd.exec(street)
  if (!found || found.index === 0) return { street, unit: '' }
  return { street: street.slice(0, found.index).replace(/[\s,]+$/, ''), unit: found[0].replace(/^[\s,]+/, '').trim() }
}

/** A street as it is compared: `123 North First Street` → `123 n 1 st`. */
export const streetKey = (street: string): string =>
  words(street)
    .map(word => shortStreetWord(plainWord(word)))
    .join(' ')

/** A unit as it is compared: `Apt. 4-B`, `#4b` and `Unit 4 B` → `4b`. */
export const unitKey = (unit: string): string =>
  words(unit)
    .filter(word => !unitMarks.has(word))
    .map(plainWord)
    .join('')

export const townKey = (city: string): string =>
  words(city)
    .map(word => (word === 'saint' ? 'st' : word === 'mount' ? 'mt' : word === 'fort' ? 'ft' : word))
    .join(' ')

/** A postcode as it is compared: without blanks, and of a ZIP+4 the five that name the place. */
export const postcodeKey = (postcode: string): string =>
  plain(postcode)
    .replaceAll(/[^a-z0-9]/g, '')
    .replace(/^(\d{5})\d{4}$/, '$1')

/** An address with its unit parted from the street, each part as it is compared. */
export type AddressKey = {
  readonly street: string
  readonly unit: string
  readonly city: string
  readonly region: string
  readonly postcode: string
}

/** The parts of an address as two ways of writing it are compared: case, accents, punctuation and abbreviations away. */
export function addressKey(address: WrittenAddress): AddressKey {
  const parted = address.unit.trim() === '' ? partUnit(address.street) : { street: address.street, unit: address.unit }
  return {
    street: streetKey(parted.street),
    unit: unitKey(parted.unit),
    city: townKey(address.city),
    region: plain(address.region).trim(),
    postcode: postcodeKey(address.postcode),
  }
}

/** One text for a whole address: equal texts are the same place. */
export const addressText = ({ street, unit, city, region, postcode }: AddressKey): string =>
  [street, unit, city, region, postcode].join('|')

/** The house number an address begins with; its first word where it has none. */
export const houseOf = ({ street }: AddressKey): string =>
  /\d[\p{L}\p{N}/]*/u.exec(street)?.[0] ?? street.split(' ')[0] ?? ''

/** The longest word of a street that nobody shortens: it stands in every way of writing it. Empty where there is none. */
export const tellingWord = ({ street }: AddressKey): string =>
  street
    .split(' ')
    .filter(word => /^[a-z]{3,}$/.test(word) && !isShortForm(word))
    .reduce((longest, word) => (word.length > longest.length ? word : longest), '')
