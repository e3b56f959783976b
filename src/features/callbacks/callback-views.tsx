import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Instant } from '../../domain/facts.ts'
import { choicesFrom, SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import { InstantText } from '../../web/when-text.tsx'
import { AnswerFields, type Asked } from './answers-form.tsx'
import { systemName } from './call-system.tsx'
import type { CallbackHome } from './page-queries.ts'
import type { CallbackRow } from './queries.ts'
import { channelWords, complaintWords } from './words.ts'

type FormProps = {
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  readonly formKey: string
}

type TakingProps = FormProps & {
  readonly home: Pick<CallbackHome, 'id' | 'systems'>
  /** The first questions for what is reported; none where nobody has said yet what it is. */
  readonly asked: readonly Asked[]
  /** Who may be calling, to choose from. */
  readonly callers?: readonly { readonly customerId: string; readonly name: string; readonly role: string }[]
  readonly autofocus?: boolean
}

/** Taking a call about a home: what is reported, the first questions, by whom, in their words. */
export const CallbackForm = ({
  home,
  typed,
  faults,
  csrf,
  formKey,
  asked,
  callers = [],
  autofocus,
}: TakingProps): JSX.Element => (
  <Form
    action={paths.newCallback(home.id)}
    submit="Record the callback"
    csrf={csrf}
    idempotencyKey={formKey}
    faults={faults}
    draft={`callback-${home.id}-${asked.length ? textIn(typed, 'complaint') : ''}`}
    cancel={{ href: paths.home(home.id) }}
  >
    {home.systems.map(system =>
      system.gauge && asked.length === 0 ? (
        <p
          class="note"
          safe
        >{`The gauge of ${system.tag ? `tag ${system.tag}` : 'the system'} stood at ${system.gauge}: ask what it shows now.`}</p>
      ) : (
        ''
      ),
    )}
    <AnswerFields asked={asked} typed={typed} faults={faults} autofocus={autofocus} />
    <SelectField
      name="complaint"
      label="What is reported"
      choices={choicesFrom(complaintWords)}
      value={textIn(typed, 'complaint')}
      empty="Choose"
      faults={faults}
    />
    {home.systems.length > 0 ? (
      <SelectField
        name="system"
        label="System"
        choices={home.systems.map(system => ({
          value: system.id,
          words: systemName(system),
        }))}
        value={textIn(typed, 'system') || (home.systems.length === 1 ? home.systems[0]!.id : '')}
        empty="Not known"
        faults={faults}
      />
    ) : (
      ''
    )}
    {callers.length > 0 ? (
      <SelectField
        name="caller"
        label="Who is calling"
        choices={callers.map(one => ({ value: one.customerId, words: `${one.name}, ${one.role}` }))}
        value={textIn(typed, 'caller')}
        empty="Somebody else, or not known"
        faults={faults}
      />
    ) : (
      ''
    )}
    <Field
      name="reported-by"
      label={callers.length > 0 ? 'Somebody else: who' : 'Reported by'}
      value={textIn(typed, 'reported-by')}
      optional
      faults={faults}
    />
    <SelectField
      name="channel"
      label="How it came"
      choices={choicesFrom(channelWords)}
      value={textIn(typed, 'channel') || 'phone'}
      faults={faults}
    />
    <Field
      name="description"
      label="In their words"
      rows={4}
      value={textIn(typed, 'description')}
      optional
      faults={faults}
    />
  </Form>
)

/** One callback: what was reported, what was found and done, and the next thing to do. */
export function CallbackView(props: FormProps & { callback: CallbackRow; now: Instant }): JSX.Element {
  const { callback, now, typed, faults, csrf } = props
  const today = localDayOf(now, callback.zone)
  return (
    <>
      <p class="above">
        <a href={paths.home(callback.propertyId)} safe>
          {callback.address}
        </a>
      </p>
      <h1 safe>{`Callback no. ${callback.number}: ${complaintWords[callback.complaint]}`}</h1>
      {callback.voidedAt === null ? '' : <p class="note" safe>{`Voided: ${callback.voidReason ?? ''}`}</p>}
      <p>
        Reported <InstantText at={callback.reportedAt} zone={callback.zone} today={today} />{' '}
        <span
          safe
        >{`${channelWords[callback.channel]}${callback.reportedBy ? ` by ${callback.reportedBy}` : ''}.`}</span>
      </p>
      {callback.description ? <blockquote safe>{callback.description}</blockquote> : ''}
      <Answers answers={callback.answers} />
      {callback.closedAt === null ? (
        <>
          <ul class="links">
            <li>
              <a href={`${paths.newVisit(callback.propertyId)}?callback=${callback.id}`}>Plan a visit</a>
            </li>
            {callback.systemId ? (
              <li>
                <a href={paths.system(callback.systemId)}>Open the system</a>
              </li>
            ) : (
              ''
            )}
          </ul>
          {callback.voidedAt === null ? (
            <section>
              <h2>Close it</h2>
              <Form
                action={paths.callbackStep(callback.id, 'closing')}
                submit="Close the callback"
                csrf={csrf}
                version={callback.version}
                faults={faults}
              >
                <Field
                  name="found"
                  label="What was found"
                  rows={3}
                  value={textIn(typed, 'found') || callback.found}
                  faults={faults}
                />
                <Field
                  name="done"
                  label="What was done"
                  rows={3}
                  value={textIn(typed, 'done') || callback.done}
                  faults={faults}
                />
              </Form>
            </section>
          ) : (
            ''
          )}
        </>
      ) : (
        <section>
          <h2>Closed</h2>
          <p>
            <InstantText at={callback.closedAt} zone={callback.zone} today={today} />
          </p>
          <dl class="pair">
            <div>
              <dt>Found</dt>
              <dd safe>{callback.found}</dd>
            </div>
            <div>
              <dt>Done</dt>
              <dd safe>{callback.done}</dd>
            </div>
          </dl>
        </section>
      )}
    </>
  )
}

function Answers({ answers }: Pick<CallbackRow, 'answers'>): JSX.Element {
  if (answers.length === 0) return ''
  return (
    <section id="answers">
      <h2>Asked and answered</h2>
      <dl class="answers">
        {answers.map(({ question, answer }) => (
          <div>
            <dt safe>{question}</dt>
            <dd safe>{answer}</dd>
          </div>
        ))}
      </dl>
    </section>
  )
}
