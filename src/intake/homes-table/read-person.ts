import { z } from 'zod'
import { possibleE164 } from '../../features/customers/phone-number.ts'
import type { PersonCells } from './home-facts.ts'
import { saysNothing } from './says-nothing.ts'

const COMPANY =
  /\b(?:llc|l\.l\.c\.?|inc|incorporated|corp|co\.|company|ltd|llp|trust|estate of|properties|property|rentals?|management|mgmt|realty|homes|builders?|construction|church|school|district|city of|county|university|bank|hoa|association|apartments)\b/i
const NO_NAME = /^(?:unknown owner|vacant|empty|owner)$/i
const email = z.email()

/** `Smith, John` is John Smith; `Lakeside Rentals, LLC` is as it says. */
function nameOf(cell: string): string {
  const parts = /^([\p{L}'’ -]{2,40}),\s*([\p{L}'’.& -]{1,60})$/u.exec(cell)
  return parts && !COMPANY.test(cell) && !/^(?:jr|sr|ii|iii|md|phd)\.?$/i.test(parts[2]!)
    ? `${parts[2]!.trim()} ${parts[1]!.trim()}`
    : cell
}

const oneLine = (cell: string): string => cell.replaceAll(/\s+/g, ' ').trim()

export type ReadName = { readonly name: string; readonly kind: PersonCells['kind'] } | null

/** The name in a cell; null where it names nobody. */
export function readName(cell: string): ReadName {
  const text = oneLine(cell)
  if (saysNothing(text) || NO_NAME.test(text)) return null
  return COMPANY.test(text) ? { name: text, kind: 'company' } : { name: nameOf(text), kind: 'person' }
}

export type Numbers = { readonly found: readonly string[]; readonly left: string }

/** The phone numbers in a cell as E.164, and what of the cell is none. */
export function readPhones(cell: string, country: string): Numbers {
  const found: string[] = []
  const left: string[] = []
  for (const part of cell.split(/[;\n,]| or | and |&|(?<=\d)\/(?=[(\d+])| \/ |\s{3,}/i)) {
    const text = part.replace(/\.0$/, '').trim()
    if (saysNothing(text)) continue
    // What stands around a number says whose or which it is: `(cell) 218-555-0101`, `218-555-0101 work`.
    const digits = /\+?[(\d][\d().\s-]{5,}\d(?:\s*(?:x|ext\.?)\s*\d{1,6})?/i.exec(text)?.[0]
    const number = digits ? possibleE164(digits, country) : null
    if (number === null) left.push(text)
    else if (!found.includes(number)) found.push(number)
  }
  return { found, left: left.join('; ') }
}

/** The mail addresses in a cell, and what of it is none. */
export function readMails(cell: string): Numbers {
  const found: string[] = []
  const left: string[] = []
  for (const part of cell.split(/[;,\n\s]+|\/(?=\S+@)/)) {
    const text = part.replace(/^mailto:/i, '').replace(/^<|>$/g, '')
    if (saysNothing(text) || /^(?:no|or|and|&)$/i.test(text)) continue
    if (email.safeParse(text).success && text.length <= 254) found.push(text.toLowerCase())
    else left.push(part)
  }
  return { found: [...new Set(found)], left: left.join(' ') }
}

/** Someone with the numbers beside their name: the first of each is kept as theirs, the others in words. */
export function personOf(
  name: NonNullable<ReadName>,
  phones: readonly string[],
  mails: readonly string[],
): PersonCells {
  const others = [...phones.slice(1), ...mails.slice(1)]
  return {
    ...name,
    phone: phones[0] ?? null,
    email: mails[0] ?? null,
    note: others.length === 0 ? '' : `Also: ${others.join(', ')}`,
  }
}
