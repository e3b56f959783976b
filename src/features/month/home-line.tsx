import { dayWords } from '../../web/day-words.ts'
import { languageWords } from '../../web/language-words.ts'
import { paths } from '../../web/paths.ts'
import { personRoleWords } from '../../web/person-role-words.ts'
import { visitPurposeWords } from '../../web/visit-purpose-words.ts'
import { DueDay, InstantText } from '../../web/when-text.tsx'
import { writtenNumber } from '../../web/written-number.ts'
import type { MonthHome, MonthPerson, MonthSettings } from './queries.ts'
import type { CallOutcome } from './schemas.ts'
import { addressOf, callOutcomeWords, dueDayOf, instructionsFor, itemWords, purposeFor } from './words.ts'

type Props = { readonly home: MonthHome; readonly month: string; readonly settings: MonthSettings }

/** A home of the month's list: what is due, whom to call, what came of it, and the three things to do. */
export function HomeLine({ home, month, settings }: Props): JSX.Element {
  const due = dueDayOf(home)
  const place = addressOf(home)
  return (
    <div class="ledger-line" id={`home-${home.id}`}>
      <p class="ledger-day">{due ? <DueDay day={due} today={settings.today} /> : 'a fan'}</p>
      <div class="ledger-words">
        <p>
          <a href={paths.home(home.id)} safe>
            {place}
          </a>
          : <strong safe>{home.items.map(item => itemWords(item, home, settings)).join('; ')}</strong>
        </p>
        <WhomToCall home={home} />
        <HowFar home={home} settings={settings} />
      </div>
      <p class="ledger-act">
        <a
          class="act"
          href={paths.newVisit(home.id, {
            purpose: purposeFor(home),
            instructions: instructionsFor(home, settings),
            month,
          })}
        >
          Book a visit<span class="unseen" safe>{`: ${place}`}</span>
        </a>
        {' · '}
        <a class="act" href={paths.homeMonth(home.id, month)}>
          Called, or another month<span class="unseen" safe>{`: ${place}`}</span>
        </a>
      </p>
    </div>
  )
}

export const WhomToCall = ({ home }: { home: MonthHome }): JSX.Element => (
  <p class="light">
    {home.people.length === 0
      ? 'Nobody to call is on record.'
      : home.people.map((person, at) => (
          <>
            {at === 0 ? '' : '; '}
            <Person person={person} country={home.country} />
          </>
        ))}
  </p>
)

const channels = { email: 'a mail', phone: 'a call', letter: 'a letter' } as const

const Person = ({ person, country }: { person: MonthPerson; country: string }): JSX.Element => (
  <>
    <span safe>{`${person.name} (${person.roles.map(personRoleWords).join(' and ')}) `}</span>
    {person.phone ? (
      <a href={`tel:${person.phone}`} safe>
        {writtenNumber(person.phone, country)}
      </a>
    ) : (
      'no phone on record'
    )}
    <span safe>
      {[
        '',
        `prefers ${channels[person.preferredChannel]}`,
        person.language !== 'en' && person.language !== '' && `speaks ${languageWords(person.language)}`,
        person.mailsStopped && 'wants no mails',
      ]
        .filter(words => words !== false)
        .join(', ')}
    </span>
  </>
)

function HowFar({ home, settings: { today } }: Omit<Props, 'month'>): JSX.Element {
  const { visit, called, putOff, held, openCallbacks, zone } = home
  return (
    <>
      {visit ? (
        <p>
          {visit.serves ? 'Booked: ' : 'A visit is planned for something else: '}
          <a href={paths.visit(visit.visitId)}>
            <InstantText at={visit.startsAt} zone={zone} today={today} />
          </a>
          <span safe>{`, ${(visitPurposeWords as Record<string, string>)[visit.purpose] ?? visit.purpose}`}</span>
        </p>
      ) : (
        ''
      )}
      {putOff ? <p safe>{`Put off to ${dayWords(putOff.backOn, today)}: ${putOff.note}`}</p> : ''}
      {called ? (
        <p>
          <span safe>{`${callOutcomeWords[called.outcome as CallOutcome]}, `}</span>
          <InstantText at={called.at} zone={zone} today={today} />
          <span safe>
            {`${called.by ? `, ${called.by}` : ''}; call again on ${dayWords(called.backOn, today)}${called.note ? `. ${called.note}` : ''}`}
          </span>
        </p>
      ) : (
        ''
      )}
      {held ? <p>Its reminders are held since the import.</p> : ''}
      {openCallbacks > 0 ? <p>A callback is open: see it before you call.</p> : ''}
    </>
  )
}
