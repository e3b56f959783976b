import type { LocalDay } from '../../domain/facts.ts'
import { weekdayWords } from '../../web/day-words.ts'
import { becauseWords, owedWords } from '../../web/owed-words.ts'
import type { OwedAtHome } from './claim.ts'
import type { Letterhead } from './company-queries.ts'
import { foundWords } from './found-words.ts'
import { type Letter, LetterDocument, letterText, PageButton, Paragraph, pageBlank } from './letter.tsx'

/** One home of the person, with what is owed there and the link to its page. */
export type HomeInMail = { readonly linkId: string; readonly owed: readonly OwedAtHome[] }
export type ReminderMail = {
  readonly company: Letterhead
  readonly name: string
  readonly homes: readonly HomeInMail[]
  /** By the company's calendar: tells `is due` from `was due`. */
  readonly today: LocalDay
}

/** The reminder of what is owed at a person's homes: one mail, however many homes. */
export function reminderMail({ company, name, homes, today }: ReminderMail): Letter {
  const subject = subjectOf(homes)
  return {
    subject,
    textBody: letterText(
      company,
      name,
      homes.map(home => homeText(home, today)),
    ),
    htmlBody: String(
      <LetterDocument title={subject} company={company} name={name}>
        {homes.map(home => (
          <HomePart home={home} today={today} />
        ))}
      </LetterDocument>,
    ),
  }
}

function subjectOf(homes: readonly HomeInMail[]): string {
  const [first] = homes.flatMap(home => home.owed).sort((a, b) => (a.dueOn < b.dueOn ? -1 : 1))
  if (!first) return 'Your radon record'
  const what = /mitigation$/.test(first.kind) ? 'Radon: work' : 'Radon test'
  const rest = homes.length > 1 ? ` and ${homes.length - 1} more` : ''
  return `${what} due by ${weekdayWords(first.dueOn)}: ${first.address}${rest}`
}

const linesOf = ({ owed }: HomeInMail, today: LocalDay): string[] => {
  const found = foundWords(owed[0]?.verdict ?? null)
  return [...owed.flatMap(one => [owedWords(one, today), becauseWords(one)]), ...(found ? [found] : [])]
}

const homeText = (home: HomeInMail, today: LocalDay): string =>
  [home.owed[0]?.address ?? '', ...linesOf(home, today), `The page of your home: ${pageBlank(home.linkId)}`].join('\n')

const HomePart = ({ home, today }: { home: HomeInMail; today: LocalDay }): JSX.Element => (
  <div style="margin:0 0 32px">
    <h1 style="margin:0 0 8px;font-size:21px;line-height:1.25" safe>
      {home.owed[0]?.address ?? ''}
    </h1>
    {linesOf(home, today).map(line => (
      <Paragraph words={line} />
    ))}
    <PageButton linkId={home.linkId} words="Open the page of your home" />
  </div>
)
