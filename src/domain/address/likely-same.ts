import type { AddressKey } from './address-key.ts'
import { slips, slipsAllowed } from './edit-distance.ts'

/** Why two addresses may be one home, in words for whoever decides; null when nothing speaks for it. */
export function likelySame(a: AddressKey, b: AddressKey): string | null {
  if (a.postcode !== '' && b.postcode !== '' && a.postcode !== b.postcode && a.city !== b.city) return null
  if (numbersIn(a.street) !== numbersIn(b.street)) return null
  const streets = streetsAlike(a.street, b.street)
  if (streets === null) return null
  if (a.unit !== '' && b.unit !== '' && a.unit !== b.unit) return null
  const said = [
    streets,
    a.unit === b.unit ? '' : 'only one names a unit',
    a.city === b.city || a.city === '' || b.city === '' ? '' : 'the towns differ',
    a.postcode === b.postcode
      ? ''
      : a.postcode === '' || b.postcode === ''
        ? 'only one has a postcode'
        : 'the postcodes differ',
    a.region === b.region || a.region === '' || b.region === '' ? '' : 'the states differ',
  ].filter(text => text !== '')
  return said.length === 0 ? 'the addresses are written almost alike' : said.join(', ')
}

const numbersIn = (street: string): string => (street.match(/\d+[\p{L}]?(?:\/\d+)?/gu) ?? []).join(' ')
const compass = /\b(?:n|s|e|w|ne|nw|se|sw)\b/g
const kinds = /\b(?:ave|blvd|cir|ct|dr|hwy|ln|pkwy|pl|rd|sq|st|ter|trl|xing|way|pt|rdg)\b/g
const tidy = (street: string): string => street.replaceAll(/\s+/g, ' ').trim()

/** `''` when equal; words for how they differ; null when they are two streets. */
function streetsAlike(a: string, b: string): string | null {
  if (a === b) return ''
  const [nameA, nameB] = [bare(a), bare(b)]
  if (nameA === nameB) {
    const [turnA, turnB] = [a.match(compass)?.join(' '), b.match(compass)?.join(' ')]
    const [kindA, kindB] = [a.match(kinds)?.join(' '), b.match(kinds)?.join(' ')]
    // North and South Elm are two streets, Elm Street and Elm Avenue too; Elm alone may be either.
    if (turnA !== undefined && turnB !== undefined && turnA !== turnB) return null
    if (kindA !== undefined && kindB !== undefined && kindA !== kindB) return null
    return 'one says more of the street than the other'
  }
  const allowed = slipsAllowed(nameA.length < nameB.length ? nameA : nameB)
  return slips(nameA, nameB).whole <= allowed ? 'the streets differ by a letter or two' : null
}

const bare = (street: string): string =>
  tidy(
    street
      .replaceAll(/\d+[\p{L}]?(?:\/\d+)?/gu, ' ')
      .replaceAll(compass, ' ')
      .replaceAll(kinds, ' '),
  )
