import { lastDayOf, monthAfter, monthOf, monthWords } from '../../domain/calendar/month.ts'
import { choicesFrom, SelectField } from '../../web/choice-field.tsx'
import { dayWords } from '../../web/day-words.ts'
import { Field } from '../../web/field.tsx'
import { Empty } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { HomeLine } from './home-line.tsx'
import type { MonthAsked, MonthCounts, MonthHome, MonthSettings } from './queries.ts'
import type { MonthState } from './schemas.ts'
import { kindWords, stateWords } from './words.ts'

type Props = {
  readonly asked: MonthAsked
  readonly settings: MonthSettings
  readonly counts: MonthCounts
  readonly homes: readonly MonthHome[]
  readonly next: string | null
  readonly mayChangeAge: boolean
}

/** One month's list, worked down to booked visits; by town and postcode, as one drives. */
export function MonthView({ asked, settings, counts, homes, next, mayChangeAge }: Props): JSX.Element {
  return (
    <>
      <h1 safe>{`Due in ${monthWords(asked.month)} or before`}</h1>
      <p id="counts">
        <strong safe>{countsWords(counts, asked)}</strong>
      </p>
      <Known counts={counts} settings={settings} mayChangeAge={mayChangeAge} />
      <Months asked={asked} today={settings.today} />
      <Narrow asked={asked} />
      <States asked={asked} counts={counts} />
      {homes.length === 0 ? (
        <Empty
          text="No home stands here. What is owed or has reached its age by the end of the month is listed until it is booked."
          href={paths.homes()}
          step="See all homes"
        />
      ) : (
        townsOf(homes).map(({ town, ofTown }) => (
          <section class="list">
            <header>
              <h2 safe>{town}</h2>
              <p class="how-many" safe>
                {ofTown.length === 1 ? 'one home' : `${ofTown.length} homes`}
              </p>
            </header>
            <ul class="ruled">
              {ofTown.map(home => (
                <li>
                  <HomeLine home={home} month={asked.month} settings={settings} />
                </li>
              ))}
            </ul>
          </section>
        ))
      )}
      {next ? (
        <p>
          <a class="next" href={next} rel="next">
            Show the next ones
          </a>
        </p>
      ) : (
        ''
      )}
    </>
  )
}

const dueOf = ({ open, called, booked }: MonthCounts) => open + called + booked

/** `31 due by 30 Nov 2026: 12 booked, 4 called, 15 open. 2 put off to another month.` */
export function countsWords(counts: MonthCounts, { month }: Pick<MonthAsked, 'month'>): string {
  const { open, called, booked, putOff } = counts
  const due = `${dueOf(counts)} due by ${dayWords(lastDayOf(month))}: ${booked} booked, ${called} called, ${open} open.`
  return putOff === 0 ? due : `${due} ${putOff} put off to another month.`
}

const homesWords = (count: number) => (count === 1 ? 'one home' : `${count} homes`)

/** How much of the list is known and how much a guess. */
const Known = ({
  counts: { maybe, fanUnknown },
  settings: { years },
  mayChangeAge,
}: Pick<Props, 'counts' | 'settings' | 'mayChangeAge'>): JSX.Element => (
  <p class="light">
    <span safe>
      {[
        `A running fan stands here from ${years} years on.`,
        maybe > 0 && `At ${homesWords(maybe)} it only may have reached them: its day is known roughly.`,
        fanUnknown > 0 && `At ${homesWords(fanUnknown)} with nothing else due nobody knows its age.`,
        '',
      ]
        .filter(words => words !== false)
        .join(' ')}
    </span>
    <a href={paths.missing({ what: 'fan-date' })}>How much of the book is known</a>
    {mayChangeAge ? (
      <>
        {' '}
        <a href={`${paths.company()}#fans`}>Change the age</a>
      </>
    ) : (
      ''
    )}
  </p>
)

// What narrows the list goes along from link to link.
const shown = ({ month, kind, state, region, where }: MonthAsked) => ({ month, kind, state, region, where })

const Months = ({ asked, today }: { asked: MonthAsked; today: string }): JSX.Element => (
  <ul class="links">
    {[
      { words: monthWords(monthAfter(asked.month, -1)), month: monthAfter(asked.month, -1) },
      { words: 'This month', month: monthOf(today) },
      { words: monthWords(monthAfter(asked.month, 1)), month: monthAfter(asked.month, 1) },
    ].map(({ words, month }) => (
      <li>
        <a href={paths.month({ ...shown(asked), month })} safe>
          {words}
        </a>
      </li>
    ))}
  </ul>
)

const Narrow = ({ asked }: { asked: MonthAsked }): JSX.Element => (
  <details open={Boolean(asked.kind || asked.where || asked.region)}>
    <summary>Narrow it to a town, a state, retests or fans</summary>
    <form class="filter" action={paths.month()} method="get">
      <input type="hidden" name="month" value={asked.month} />
      <input type="hidden" name="state" value={asked.state ?? 'all'} />
      <SelectField
        name="kind"
        label="What"
        choices={choicesFrom(kindWords)}
        value={asked.kind ?? ''}
        empty="Everything"
      />
      <Field name="where" label="Town or postcode begins with" value={asked.where ?? ''} size="medium" />
      <Field name="region" label="State or province" value={asked.region ?? ''} size="short" />
      <button type="submit">Show</button>
    </form>
  </details>
)

function States({ asked, counts }: Pick<Props, 'asked' | 'counts'>): JSX.Element {
  const choices: readonly { state: MonthState | 'all'; words: string; count: number }[] = [
    { state: 'open', words: stateWords.open, count: counts.open },
    { state: 'called', words: stateWords.called, count: counts.called },
    { state: 'booked', words: stateWords.booked, count: counts.booked },
    { state: 'put-off', words: stateWords['put-off'], count: counts.putOff },
    { state: 'fan-unknown', words: stateWords['fan-unknown'], count: counts.fanUnknown },
    { state: 'all', words: 'All that are due', count: dueOf(counts) + counts.putOff },
  ]
  return (
    <nav class="shows" aria-label="Show">
      <ul>
        {choices.map(({ state, words, count }) => (
          <li>
            <a
              href={paths.month({ ...shown(asked), state })}
              aria-current={state === (asked.state ?? 'all') ? 'true' : undefined}
              safe
            >
              {`${words} ${count}`}
            </a>
          </li>
        ))}
      </ul>
    </nav>
  )
}

/** Homes of one town and postcode together, in the order of the list. */
function townsOf(homes: readonly MonthHome[]): readonly { town: string; ofTown: readonly MonthHome[] }[] {
  const towns = new Map<string, MonthHome[]>()
  for (const home of homes) {
    const town = [home.city, home.region, home.postcode].filter(Boolean).join(' ')
    towns.set(town, [...(towns.get(town) ?? []), home])
  }
  return [...towns].map(([town, ofTown]) => ({ town, ofTown }))
}
