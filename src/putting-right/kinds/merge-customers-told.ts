import type { PersonDetails } from '../../domain/people/merged-details.ts'
import type { Customer } from '../../features/customers/queries.ts'
import type { Belongings } from './belongings.ts'

type Merged = {
  readonly doubled: Customer
  readonly kept: Customer
  readonly details: PersonDetails
  readonly belongings: Belongings
  readonly former: readonly { readonly field: string; readonly value: string }[]
}

/** What comes along when two entries of a person become one, in sentences. */
export const mergeTold = (merged: Merged): string[] => [
  `${merged.doubled.name} goes out of use; its page leads to ${merged.details.name}.`,
  ...alongWords(merged.belongings),
  ...joinedWords(merged.belongings),
  ...merged.former.map(({ field, value }) => `Found by still: the former ${fieldWords[field]} ${value}.`),
  ...(merged.details.mailsStoppedAt === null ? [] : ['No mails go to them: that was asked for.']),
  ...(merged.details.mailRefusedAt === null ? [] : ['The mail address was refused by its server, and stays so.']),
  ...(merged.kept.language === merged.details.language ? [] : [`Their language is ${merged.details.language} then.`]),
]

const fieldWords: Readonly<Record<string, string>> = { name: 'name', email: 'mail address', phone: 'phone' }

function alongWords(had: Belongings): string[] {
  const alive = (changes: Belongings['ownerships']) =>
    changes.filter(({ customerId }) => customerId !== undefined).length
  const along = [
    counted(alive(had.ownerships), 'ownership', 'ownerships'),
    counted(alive(had.persons), 'other part around a home', 'other parts around homes'),
    counted(alive(had.parties), 'part in work', 'parts in work'),
    counted(had.kits.length, 'kit', 'kits'),
    counted(had.callbacks.length, 'callback', 'callbacks'),
    counted(had.reports.length, 'report', 'reports'),
    counted(
      had.links.length,
      'link to a home’s page, which goes on opening it',
      'links to homes’ pages, which go on opening them',
    ),
    counted(had.mails.length, 'mail', 'mails'),
  ].filter(words => words !== '')
  return along.length === 0 ? ['Nothing hangs on it.'] : [`Comes along: ${along.join(', ')}.`]
}

function joinedWords(had: Belongings): string[] {
  const gone = (changes: Belongings['ownerships']) => changes.filter(change => change.gone).length
  const twice = [
    counted(gone(had.ownerships), 'ownership', 'ownerships'),
    counted(gone(had.persons), 'part around a home', 'parts around homes'),
    counted(gone(had.parties), 'part in work', 'parts in work'),
  ].filter(words => words !== '')
  return twice.length === 0 ? [] : [`Was there twice and becomes one: ${twice.join(', ')}.`]
}

const counted = (count: number, one: string, many: string): string =>
  count === 0 ? '' : `${count} ${count === 1 ? one : many}`
