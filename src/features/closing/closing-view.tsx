import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { ClosingAnswer } from '../../domain/closing/closing-answer.ts'
import type { ClosingQuestion } from '../../domain/closing/closing-question.ts'
import { ClosingTimeline } from '../../web/closing-timeline.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { Table, Text } from '../../web/table.tsx'
import { InstantText } from '../../web/when-text.tsx'
import { ClauseText, WorkingView } from '../../web/working-view.tsx'
import type { Answered } from './ask-closing.ts'
import { closingSentence, slackWords, visitWords } from './closing-words.ts'
import { planKey } from './plan-closing.ts'
import { timelineOf } from './timeline-of.ts'

type Props = { readonly answered: Answered; readonly csrf: string; readonly formKey: string }

/** The answer: yes or no, what to say, when each step can be, drawn and as a table, and how it was reckoned. */
export function AnswerView({ answered, csrf, formKey }: Props): JSX.Element {
  const { answer, question, cautionAdded, home } = answered
  const timeline = timelineOf(answer, question)
  return (
    <section class="closing-answer" aria-labelledby="answer">
      <h2 id="answer" safe>
        {headline(answer)}
      </h2>
      <Field
        name="sentence"
        label="To read out or send"
        hint="Select it and copy it."
        rows={7}
        value={closingSentence(answer, question, cautionAdded)}
        readonly
      />
      {timeline ? <ClosingTimeline {...timeline} /> : ''}
      {answer.verdict === 'feasible' ? <Windows answer={answer} question={question} /> : ''}
      {answer.verdict === 'feasible' ? <PlanForm {...{ answer, question, csrf, formKey }} homeId={home.id} /> : ''}
      {answer.binds.length > 0 ? <Binds answer={answer} /> : ''}
      {answer.verdict === 'feasible' && answer.devices ? <Devices answer={answer} /> : ''}
      <h3>What this takes for granted</h3>
      <ul>
        {answer.notes.map(note => (
          <li safe>{note}</li>
        ))}
      </ul>
      {answer.workings.map(working => (
        <WorkingView working={working} />
      ))}
    </section>
  )
}

const headline = (answer: ClosingAnswer): string => {
  if (answer.verdict === 'undetermined') return `Not to be reckoned yet: ${answer.reason}`
  return answer.verdict === 'feasible' ? `Yes, ${slackWords(answer.slackMs)}` : 'No, not by then'
}

type Feasible = { readonly answer: Extract<ClosingAnswer, { verdict: 'feasible' }>; readonly question: ClosingQuestion }

function Windows({ answer: { windows }, question: { zone, now } }: Feasible): JSX.Element {
  const today = localDayOf(now, zone)
  const rows = [
    ['Installation begins', windows.install],
    ['Fan start', windows.fanStart],
    ['Building closed from', windows.closed],
    ['Device set by', windows.set],
    ['Picked up', windows.pickUp],
    ['Report in hand', windows.report],
  ] as const
  return (
    <Table
      caption="Earliest and latest of each step"
      columns={[{ words: 'Step' }, { words: 'Earliest' }, { words: 'Latest' }]}
      rows={rows.flatMap(([words, window]) =>
        window
          ? [
              [
                <Text of={words} />,
                <InstantText at={window.earliest} zone={zone} today={today} />,
                <InstantText at={window.latest} zone={zone} today={today} />,
              ],
            ]
          : [],
      )}
    />
  )
}

function PlanForm(
  props: Feasible & { readonly homeId: string; readonly csrf: string; readonly formKey: string },
): JSX.Element {
  const { answer, question, homeId, csrf, formKey } = props
  const { zone, now, crews } = question
  const who = (id: string | null) => crews.find(crew => crew.id === id)?.name ?? 'nobody yet'
  return (
    <section>
      <h3>The earliest plan</h3>
      <Table
        caption="Visits of the earliest plan"
        quietCaption
        columns={[{ words: 'Visit' }, { words: 'From' }, { words: 'Until' }, { words: 'Who is free' }]}
        rows={answer.plan.visits.map(({ purpose, from, until, crewId }) => [
          <Text of={visitWords[purpose]} />,
          <InstantText at={from} zone={zone} today={localDayOf(now, zone)} />,
          <InstantText at={until} zone={zone} today={localDayOf(now, zone)} />,
          <Text of={who(crewId)} />,
        ])}
      />
      <Form action={paths.homeClosing(homeId)} submit="Plan the visits" csrf={csrf} idempotencyKey={formKey}>
        <input type="hidden" name="asks" value={question.asks} />
        <input type="hidden" name="method" value={question.method} />
        <input type="hidden" name="deadline" value={question.deadline === null ? '' : String(question.deadline)} />
        <input type="hidden" name="seen" value={planKey(answer.plan)} />
      </Form>
    </section>
  )
}

const Binds = ({ answer }: { answer: ClosingAnswer }): JSX.Element => (
  <section>
    <h3>{answer.verdict === 'feasible' ? 'What sets the latest times' : 'What stands in the way'}</h3>
    <ul>
      {answer.binds.map(({ text, rule }) => (
        <li>
          <span safe>{text}</span>
          {rule ? (
            <>
              {': '}
              <ClauseText rule={rule} />
            </>
          ) : (
            ''
          )}
        </li>
      ))}
    </ul>
  </section>
)

const Devices = ({ answer }: Pick<Feasible, 'answer'>): JSX.Element => (
  <section>
    <h3>Devices that are free</h3>
    <p>Not out, and good until the pick-up of the earliest plan.</p>
    <ul>
      {(answer.devices ?? []).map(({ id, name, goodUntil }) => (
        <li>
          <a href={paths.device(id)} safe>
            {name}
          </a>
          <span safe>{goodUntil === null ? ', expiry not recorded' : `, good until ${goodUntil}`}</span>
        </li>
      ))}
    </ul>
  </section>
)
