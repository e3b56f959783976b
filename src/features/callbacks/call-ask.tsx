import { baselineWords } from '../../domain/baseline/baseline.ts'
import type { FirstQuestions, Reported } from '../../domain/first-questions/call-facts.ts'
import { baselineOf } from '../../standing/baseline.ts'
import { paths } from '../../web/paths.ts'
import { Meanings } from './answers-form.tsx'
import { callersOf } from './call-people.tsx'
import type { CallHome, CallSystem } from './call-queries.ts'
import { systemName } from './call-system.tsx'
import { CallbackForm } from './callback-views.tsx'
import { NewOwnerForm } from './new-owner-form.tsx'
import { complaintWords } from './words.ts'

/** What callers say, in the order of how often it is heard. */
export const reportedWords: Readonly<Record<Reported, string>> = {
  ...complaintWords,
  'high-result': 'A high reading or result',
  sold: 'Sold or bought',
}
const reports = Object.keys(reportedWords).filter(key => key !== 'other') as Reported[]

// With a fragment in the address a browser does not focus the first answer.
const askHref = (home: CallHome, reported: Reported, system: CallSystem | undefined): string =>
  `${paths.homePhone(home.id, { reported, system: system?.id })}${reported === 'sold' ? '#ask' : ''}`

type Props = {
  readonly home: CallHome
  readonly reported: Reported | null
  readonly system: CallSystem | undefined
  readonly questions: FirstQuestions | null
  readonly csrf: string
  readonly keys: readonly [string, string]
}

/** What is reported, the three questions to ask first, and what becomes of the answers. */
export function CallAsk(props: Props): JSX.Element {
  const { home, reported, system, csrf, keys } = props
  return (
    <section id="ask" class="ask">
      <h2>What is reported?</h2>
      <ul class="inline reports">
        {[...reports, 'other' as const].map(one => (
          <li>
            <a href={askHref(home, one, system)} aria-current={one === reported ? 'true' : undefined} safe>
              {reportedWords[one]}
            </a>
          </li>
        ))}
      </ul>
      {reported ? <WhichSystem {...props} /> : ''}
      {reported ? <Questions {...props} /> : ''}
      <NewOwnerForm homeId={home.id} csrf={csrf} formKey={keys[1]} open={reported === 'sold'} />
    </section>
  )
}

function WhichSystem({ home, reported, system }: Props): JSX.Element {
  if (home.systems.length < 2) return ''
  return (
    <p class="message">
      <span safe>{`There are ${home.systems.length} systems: ask which tag. The questions go by `}</span>
      <strong safe>{system ? systemName(system) : ''}</strong>
      {'; '}
      {home.systems
        .filter(({ id }) => id !== system?.id)
        .map(other => (
          <>
            <a href={askHref(home, reported!, other)} safe>
              {systemName(other)}
            </a>{' '}
          </>
        ))}
    </p>
  )
}

function Questions({ home, reported, system, questions, csrf, keys }: Props): JSX.Element {
  if (!questions) return ''
  if (reported === 'sold')
    return (
      <ol class="questions">
        {questions.map(question => (
          <li>
            <p>
              <strong safe>{question.ask}</strong>
            </p>
            <p class="hint" safe>
              {question.why}
            </p>
            <Meanings question={question} />
          </li>
        ))}
      </ol>
    )
  const offered = home.systems.map(({ id, type, tag, baseline }) => ({
    id,
    type,
    tag,
    gauge: baseline && baselineWords(baselineOf(baseline, home.zone)),
  }))
  return (
    <CallbackForm
      home={{ id: home.id, systems: offered }}
      typed={{ complaint: reported, system: system?.id ?? '' }}
      asked={questions}
      callers={callersOf(home)}
      faults={[]}
      csrf={csrf}
      formKey={keys[0]}
      autofocus
    />
  )
}
