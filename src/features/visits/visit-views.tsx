import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Instant, LocalDay } from '../../domain/facts.ts'
import { CheckField, choicesFrom, RadioField, SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { clockWords } from '../../web/instant-words.ts'
import { List } from '../../web/list.tsx'
import { MomentFields } from '../../web/moment-fields.tsx'
import { paths } from '../../web/paths.ts'
import { type TypedFields, textIn, textsIn } from '../../web/typed-fields.ts'
import { DayText, InstantText } from '../../web/when-text.tsx'
import type { VisitHome } from './page-queries.ts'
import type { VisitRow } from './queries.ts'
import { outcomeChoices, outcomeWords, purposeWords } from './words.ts'

type FormProps = { readonly typed: TypedFields; readonly faults: readonly FieldFault[]; readonly csrf: string }

export const VisitForm = ({
  home,
  typed,
  faults,
  csrf,
  formKey,
}: FormProps & { home: VisitHome; formKey: string }): JSX.Element => (
  <Form
    action={paths.newVisit(home.id)}
    submit="Plan the visit"
    csrf={csrf}
    idempotencyKey={formKey}
    faults={faults}
    cancel={{ href: paths.home(home.id) }}
  >
    <SelectField
      name="purpose"
      label="Purpose"
      choices={choicesFrom(purposeWords)}
      value={textIn(typed, 'purpose')}
      empty="Choose"
      faults={faults}
    />
    {home.callbacks.length > 0 ? (
      <SelectField
        name="callback"
        label="For the callback"
        choices={home.callbacks.map(callback => ({
          value: callback.id,
          words: `no. ${callback.number}, ${callback.complaint}`,
        }))}
        value={textIn(typed, 'callback')}
        empty="None"
        faults={faults}
      />
    ) : (
      ''
    )}
    <MomentFields name="starts" label="When" typed={typed} faults={faults} />
    <CheckField
      name="crew"
      label="Who goes"
      hint="They see this home from now on."
      choices={home.people.map(person => ({ value: person.id, words: person.name }))}
      values={textsIn(typed, 'crew')}
      faults={faults}
    />
    <Field
      name="instructions"
      label="What to do there"
      rows={3}
      value={textIn(typed, 'instructions')}
      optional
      faults={faults}
    />
  </Form>
)

/** One visit, as the crew has it in its hand: where, how to get in, what for, and how it went. */
export const VisitView = (props: FormProps & { visit: VisitRow; now: Instant }): JSX.Element => {
  const { visit, now, typed, faults, csrf } = props
  const access = [visit.accessNote, visit.gateCode ? `Gate code ${visit.gateCode}` : '', visit.dogNote].filter(Boolean)
  return (
    <>
      <p class="above">
        <a href={paths.home(visit.propertyId)} safe>
          {visit.address}
        </a>
      </p>
      <h1 safe>{purposeWords[visit.purpose]}</h1>
      {visit.voidedAt === null ? '' : <p class="note" safe>{`Voided: ${visit.voidReason ?? ''}`}</p>}
      <p>
        <InstantText at={visit.startsAt} zone={visit.zone} today={localDayOf(now, visit.zone)} />
        <span safe>
          {visit.crew.length ? `, ${visit.crew.map(person => person.name).join(' and ')}` : ', nobody assigned yet'}
        </span>
      </p>
      {visit.instructions ? <p safe>{visit.instructions}</p> : ''}
      {access.length ? (
        <section>
          <h2>Getting in</h2>
          <ul>
            {access.map(line => (
              <li safe>{line}</li>
            ))}
          </ul>
        </section>
      ) : (
        ''
      )}
      {visit.outcome === '' && visit.voidedAt === null ? (
        <section>
          <h2>How it went</h2>
          <Form
            action={paths.visitStep(visit.id, 'report')}
            submit="Save how it went"
            csrf={csrf}
            version={visit.version}
            faults={faults}
          >
            <RadioField
              name="outcome"
              label="Outcome"
              choices={outcomeChoices}
              value={textIn(typed, 'outcome')}
              faults={faults}
            />
            <Field name="note" label="Note" rows={3} value={textIn(typed, 'note')} optional faults={faults} />
          </Form>
        </section>
      ) : (
        <p safe>{`${outcomeWords[visit.outcome]}${visit.outcomeNote ? `: ${visit.outcomeNote}` : ''}`}</p>
      )}
    </>
  )
}

/** A day's visits in order, one line each; yesterday and tomorrow are a link away. */
export const DayView = (props: {
  day: LocalDay
  before: LocalDay
  after: LocalDay
  visits: readonly VisitRow[]
  mine: boolean
  who: string | undefined
}): JSX.Element => (
  <>
    <h1>
      <DayText day={props.day} />
    </h1>
    <p class="links">
      <a href={paths.day({ on: props.before, who: props.who })}>The day before</a>{' '}
      <a href={paths.day({ on: props.after, who: props.who })}>The day after</a>
    </p>
    <List
      title={props.mine ? 'My visits' : 'Everybody’s visits'}
      order="in order of the day"
      noun={['visit', 'visits']}
      count={props.visits.length}
      items={props.visits.map(visit => (
        <div class="ledger-line">
          <p class="ledger-day">
            <time datetime={new Date(visit.startsAt).toISOString()} safe>
              {clockWords(visit.startsAt, visit.zone)}
            </time>
            <span safe>{visit.outcome === '' ? '' : ` ${outcomeWords[visit.outcome].toLowerCase()}`}</span>
          </p>
          <p class="ledger-words">
            <a href={paths.home(visit.propertyId)} safe>
              {visit.address}
            </a>
            : <strong safe>{purposeWords[visit.purpose]}</strong>
            <span
              class="light"
              safe
            >{`${visit.instructions ? ` ${visit.instructions}` : ''}${props.mine ? '' : ` (${visit.crew.map(person => person.name).join(', ') || 'nobody yet'})`}`}</span>
          </p>
          <p class="ledger-act">
            <a class="act" href={paths.visit(visit.id)}>
              Open<span class="unseen" safe>{` the visit to ${visit.address}`}</span>
            </a>
          </p>
        </div>
      ))}
      empty={{ text: 'No visit is planned on this day.', href: paths.ledger(), step: 'See what is owed' }}
    />
  </>
)
