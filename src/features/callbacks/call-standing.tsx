import type { EvaluatedTest, Standing } from '../../domain/answers.ts'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { LocalDay } from '../../domain/facts.ts'
import { methodWords } from '../../web/method-words.ts'
import { owedWords } from '../../web/owed-words.ts'
import { paths } from '../../web/paths.ts'
import { purposeWords } from '../../web/purpose-words.ts'
import { QuantityText } from '../../web/quantity-text.tsx'
import { VerdictMark } from '../../web/verdict-mark.tsx'
import { DayText } from '../../web/when-text.tsx'

type Props = { readonly standing: Standing | null; readonly today: LocalDay }

/** The verdict, the last test with what it found, and what is due. */
export function CallStanding({ standing, today }: Props): JSX.Element {
  return (
    <section id="standing">
      <h2>How it stands</h2>
      {standing ? (
        <>
          <p class="verdict-line">
            <VerdictMark {...standing.verdict} />
          </p>
          <LastTest standing={standing} today={today} />
          <h3>Due</h3>
          {standing.obligations.length === 0 ? <p class="empty">Nothing is owed for this home.</p> : ''}
          <ul class="ruled">
            {standing.obligations.map(obligation => (
              <li safe>{owedWords(obligation, today)}</li>
            ))}
          </ul>
        </>
      ) : (
        <p class="empty">How this home stands is not worked out yet.</p>
      )}
    </section>
  )
}

function LastTest({ standing, today }: { standing: Standing; today: LocalDay }): JSX.Element {
  const [test] = standing.tests
  if (!test) return <p class="empty">No test is on record.</p>
  return (
    <>
      <p>
        {'Last test: '}
        <a href={paths.test(test.testId)} safe>
          {`${purposeWords[test.purpose]}, ${methodWords[test.method]}`}
        </a>
        {test.stopAt === null ? (
          ''
        ) : (
          <>
            {', ended '}
            <DayText day={localDayOf(test.stopAt, standing.zone)} today={today} />
          </>
        )}
      </p>
      <Found test={test} />
    </>
  )
}

function Found({ test }: { test: EvaluatedTest }): JSX.Element {
  const results = test.exposures.filter(({ role, result }) => role === 'measurement' && result !== null)
  if (results.length === 0) return <p class="line">No result of it is on record yet.</p>
  return (
    <ul class="ruled">
      {results.map(({ locationName, result, uncertainty }) => (
        <li>
          <span safe>{`${locationName || 'Where it stood is not known'}: `}</span>
          <QuantityText {...result!} uncertainty={uncertainty} />
        </li>
      ))}
      {test.validity === 'invalid' ? <li>Not valid: its conditions were not met, so it decides nothing.</li> : ''}
      {test.accepted ? '' : <li>Not looked over and accepted yet: tell nobody.</li>}
    </ul>
  )
}
