import { firstDayOf, monthAfter, monthWords } from '../../domain/calendar/month.ts'
import { choicesFrom, RadioField, SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { DateField, Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import { WhomToCall } from './home-line.tsx'
import type { Outreach } from './outreach-queries.ts'
import type { MonthHome, MonthSettings } from './queries.ts'
import { addressOf, callOutcomeWords, itemWords } from './words.ts'

export type OutreachStep = 'called' | 'put-off' | 'void'
export type OutreachFormsProps = {
  readonly homeId: string
  /** As it stands on the list; null where nothing of it is due by then. */
  readonly home: MonthHome | null
  readonly month: string
  readonly settings: MonthSettings
  readonly csrf: string
  readonly keys: readonly [string, string]
  /** What was noted last and can be taken back. */
  readonly latest: Outreach | null
  readonly failed: {
    readonly step: OutreachStep
    readonly typed: TypedFields
    readonly faults: readonly FieldFault[]
  } | null
}

/** What came of calling a home: nobody reached, or another month. */
export function OutreachForms(props: OutreachFormsProps): JSX.Element {
  const { home, settings } = props
  return (
    <>
      <p class="above">
        <a href={paths.month({ month: props.month })} safe>
          {`Due in ${monthWords(props.month)} or before`}
        </a>
      </p>
      <h1 safe>{home ? addressOf(home) : 'This home'}</h1>
      {home ? (
        <>
          <p>
            <strong safe>{home.items.map(item => itemWords(item, home, settings)).join('; ')}</strong>
          </p>
          <WhomToCall home={home} />
        </>
      ) : (
        <p class="empty">Nothing of this home is due by the end of the month.</p>
      )}
      {home ? <CalledForm {...props} /> : ''}
      {home ? <PutOffForm {...props} /> : ''}
      {props.latest ? <TakeBackForm {...props} latest={props.latest} /> : ''}
    </>
  )
}

const ofStep = ({ failed }: OutreachFormsProps, step: OutreachStep) => ({
  typed: failed?.step === step ? failed.typed : {},
  faults: failed?.step === step ? failed.faults : [],
})

function CalledForm(props: OutreachFormsProps): JSX.Element {
  const { typed, faults } = ofStep(props, 'called')
  return (
    <section id="called">
      <h2>Called</h2>
      <Form
        action={paths.homeMonthStep(props.homeId, 'called', props.month)}
        submit="Note the call"
        csrf={props.csrf}
        idempotencyKey={props.keys[0]}
        faults={faults}
        cancel={{ href: paths.month({ month: props.month }) }}
      >
        <RadioField
          name="outcome"
          label="What came of it"
          choices={choicesFrom(callOutcomeWords)}
          value={textIn(typed, 'outcome') || 'no-answer'}
          faults={faults}
        />
        <DateField
          name="again"
          label="Call again on"
          ahead
          value={textIn(typed, 'again') || 'in 3 days'}
          faults={faults}
        />
        <Field name="note" label="Note" value={textIn(typed, 'note')} optional faults={faults} />
      </Form>
    </section>
  )
}

function PutOffForm(props: OutreachFormsProps): JSX.Element {
  const { typed, faults } = ofStep(props, 'put-off')
  const months = Array.from({ length: 24 }, (_, at) => monthAfter(props.month, at + 1))
  const ahead = months.filter(month => firstDayOf(month) > props.settings.today)
  return (
    <section id="put-off">
      <h2>Another month</h2>
      <p>What is due now leaves the lists until then; the due day stays what it is, and so do the reminders.</p>
      <Form
        action={paths.homeMonthStep(props.homeId, 'put-off', props.month)}
        submit="Put it off"
        csrf={props.csrf}
        idempotencyKey={props.keys[1]}
        faults={faults}
      >
        <SelectField
          name="until"
          label="Until"
          choices={ahead.map(month => ({ value: month, words: monthWords(month) }))}
          value={textIn(typed, 'until') || (ahead[0] ?? '')}
          faults={faults}
        />
        <Field name="reason" label="Why" value={textIn(typed, 'reason')} faults={faults} />
      </Form>
    </section>
  )
}

function TakeBackForm(props: OutreachFormsProps & { latest: Outreach }): JSX.Element {
  const { latest } = props
  const { faults } = ofStep(props, 'void')
  return (
    <section id="take-back">
      <h2 safe>{latest.kind === 'called' ? 'Take the last call back' : 'Put it on the list again'}</h2>
      <Form
        action={paths.voidOutreach(latest.id, props.month)}
        submit="Take it back"
        csrf={props.csrf}
        version={latest.version}
        faults={faults}
        grave
      >
        <p>It stays in the home’s history, struck through.</p>
        <Field name="void-reason" label="Why is it taken back" faults={faults} />
      </Form>
    </section>
  )
}
