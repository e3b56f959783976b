import type { Choosable } from '../domain/people/merged-details.ts'
import type { Customer } from '../features/customers/queries.ts'
import { languageWords } from '../web/language-words.ts'
import { writtenNumber } from '../web/written-number.ts'

/** A detail as either entry has it, in words; '' where it is not known. `field` is null where there is nothing to choose. */
export type Detail = {
  readonly field: Choosable | null
  readonly label: string
  readonly kept: string
  readonly other: string
}

/** The details of two entries side by side. */
export function detailsOf(kept: Customer, other: Customer, country: string): readonly Detail[] {
  const side = (field: Choosable | null, label: string, words: (one: Customer) => string): Detail => ({
    ...{ field, label },
    kept: words(kept),
    other: words(other),
  })
  return [
    side('kind', 'Kind', ({ kind }) => (kind === 'company' ? 'a company' : 'a person')),
    side('name', 'Name', ({ name }) => name),
    side('phone', 'Phone', ({ phone }) => (phone ? writtenNumber(phone, country) : '')),
    side('email', 'E-mail', ({ email }) => email ?? ''),
    side('address', 'Postal address', addressWords),
    side('language', 'Language', ({ language }) => languageWords(language)),
    side('preferredChannel', 'Preferred way', ({ preferredChannel }) => channelWords[preferredChannel]),
    side('note', 'Note', ({ note }) => note),
    side(null, 'Mails', ({ mailsStoppedAt }) =>
      mailsStoppedAt === null ? 'may go' : 'stopped at their wish; that stays',
    ),
  ]
}

const channelWords = { email: 'e-mail', phone: 'phone', letter: 'letter' } as const
const addressWords = ({ street, city, region, postcode, country }: Customer): string =>
  [street, city, [region, postcode].filter(Boolean).join(' '), country].filter(Boolean).join(', ')
