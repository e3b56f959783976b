/** What of a person is decided between two entries. */
export type PersonDetails = {
  readonly kind: 'person' | 'company'
  readonly name: string
  readonly email: string | null
  readonly phone: string | null
  readonly street: string
  readonly city: string
  readonly region: string
  readonly postcode: string
  readonly country: string
  readonly language: string
  readonly preferredChannel: 'email' | 'phone' | 'letter'
  readonly note: string
  readonly mailsStoppedAt: number | null
  readonly mailRefusedAt: number | null
  readonly mailRefusal: string | null
}
export type Choosable = 'kind' | 'name' | 'email' | 'phone' | 'address' | 'language' | 'preferredChannel' | 'note'
/** From which entry a detail is taken: the one that stays, or the other. Notes can be taken from both. */
export type Choice = { readonly [field in Exclude<Choosable, 'note'>]?: 'kept' | 'other' } & {
  readonly note?: 'kept' | 'other' | 'both'
}

const addressOf = ({ street, city, region, postcode, country }: PersonDetails) => ({
  street,
  city,
  region,
  postcode,
  country,
})
const noAddress = (person: PersonDetails): boolean =>
  [person.street, person.city, person.postcode].every(part => part === '')

/** Who two entries are together. What is not chosen comes from the kept one, and from the other where that knows nothing. */
export function mergedDetails(kept: PersonDetails, other: PersonDetails, choice: Choice): PersonDetails {
  const of = (field: Exclude<Choosable, 'note'>, empty = false) =>
    (choice[field] ?? (empty ? 'other' : 'kept')) === 'kept' ? kept : other
  const mailed = of('email', kept.email === null)
  return {
    kind: of('kind').kind,
    name: of('name').name,
    email: mailed.email,
    phone: of('phone', kept.phone === null).phone,
    ...addressOf(of('address', noAddress(kept))),
    language: of('language').language,
    preferredChannel: of('preferredChannel').preferredChannel,
    note: noteOf(kept.note, other.note, choice.note ?? 'both'),
    mailsStoppedAt: stoppedFirst(kept.mailsStoppedAt, other.mailsStoppedAt),
    // A refusal is of the address, and goes with it.
    mailRefusedAt: mailed.mailRefusedAt,
    mailRefusal: mailed.mailRefusal,
  }
}

const noteOf = (kept: string, other: string, choice: 'kept' | 'other' | 'both'): string => {
  if (choice !== 'both') return choice === 'kept' ? kept : other
  return [...new Set([kept, other].filter(note => note !== ''))].join('\n')
}

/** Whoever asked for no more mails under one of their names has asked. */
const stoppedFirst = (a: number | null, b: number | null): number | null =>
  a === null || b === null ? (a ?? b) : Math.min(a, b)

/** The name, phone and mail address of either entry that the person goes by no more, each to be found by still. */
export function formerDetails(kept: PersonDetails, other: PersonDetails, now: PersonDetails) {
  return (['name', 'email', 'phone'] as const).flatMap(field => {
    const gone = [kept[field], other[field]].find(value => value?.toLowerCase() !== now[field]?.toLowerCase())
    return gone ? [{ field, value: gone }] : []
  })
}
