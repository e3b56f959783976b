import type { PropsWithChildren } from '@kitajs/html'
import { CheckField, choicesFrom, RadioField, SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { DateField, Field, NumberField } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { halfDayWords } from '../../web/half-day-words.ts'
import { paths } from '../../web/paths.ts'
import { type TypedFields, textIn, textsIn } from '../../web/typed-fields.ts'
import { visitWishWords } from '../../web/visit-purpose-words.ts'
import type { OpenLink } from './queries.ts'
import { halfDays, type ReportKind } from './read-report.ts'

export type FormsProps = {
  readonly link: OpenLink
  readonly csrf: string
  readonly formKey: string
  /** The form that came back with faults, as it was typed. */
  readonly back?: {
    readonly kind: ReportKind | null
    readonly typed: TypedFields
    readonly faults: readonly FieldFault[]
  }
}

/** What a homeowner can tell the company: each a form of its own, folded until it is wanted. */
export function ReportForms(props: FormsProps): JSX.Element {
  const { link, back } = props
  const typed = back?.typed ?? {}
  const faults = back?.faults ?? []
  const field = (kind: ReportKind, name: string) =>
    back?.kind === kind
      ? { name: `${kind}.${name}`, value: textIn(typed, `${kind}.${name}`), faults }
      : { name: `${kind}.${name}`, value: '' }
  const rooms = link.rooms.map(room => ({ value: room.id, words: room.name }))
  const systems = link.systems.map((system, index) => ({
    value: system.id,
    words: system.tag ?? `System ${index + 1}`,
  }))
  return (
    <section>
      <h2>Tell us</h2>
      <OneForm {...props} kind="visit-request" title="Ask for a visit" submit="Ask for a visit">
        <RadioField
          {...field('visit-request', 'purpose')}
          label="What it is for"
          choices={wishes(systems.length > 0)}
        />
        <CheckField
          name="visit-request.halfDays"
          label="When it suits you"
          values={textsIn(typed, 'visit-request.halfDays')}
          choices={halfDays.map(value => ({ value, words: halfDayWords(value) }))}
        />
        <Field {...field('visit-request', 'note')} label="Anything we should know" rows={3} maxlength={2000} />
      </OneForm>
      <OneForm {...props} kind="own-result" title="Report a result of your own" submit="Send the result">
        <NumberField {...field('own-result', 'value')} label="Result" />
        <RadioField
          {...field('own-result', 'unit')}
          value={textIn(typed, 'own-result.unit') || link.company.unit}
          label="Unit"
          choices={[
            { value: 'pCi/L', words: 'pCi/L' },
            { value: 'Bq/m3', words: 'Bq/m³' },
          ]}
        />
        {rooms.length === 0 ? (
          ''
        ) : (
          <SelectField {...field('own-result', 'locationId')} label="Room" choices={rooms} empty="another room" />
        )}
        <DateField {...field('own-result', 'startedOn')} label="First day" optional />
        <DateField {...field('own-result', 'endedOn')} label="Last day" optional />
        <Field {...field('own-result', 'device')} label="Device or laboratory" optional maxlength={200} />
        <Field {...field('own-result', 'note')} label="Anything we should know" rows={2} maxlength={2000} />
      </OneForm>
      {systems.length === 0 ? (
        ''
      ) : (
        <>
          <OneForm {...props} kind="gauge-reading" title="Report what the gauge shows" submit="Send the reading">
            {systems.length > 1 ? (
              <SelectField {...field('gauge-reading', 'systemId')} label="System" choices={systems} />
            ) : (
              ''
            )}
            <NumberField {...field('gauge-reading', 'value')} label="The gauge shows" />
            <RadioField
              {...field('gauge-reading', 'unit')}
              label="Unit on the gauge"
              choices={[
                { value: 'in. w.c.', words: 'inches of water (in. w.c.)' },
                { value: 'Pa', words: 'pascals (Pa)' },
              ]}
            />
            <Field {...field('gauge-reading', 'note')} label="Anything we should know" rows={2} maxlength={2000} />
          </OneForm>
          <OneForm {...props} kind="alarm" title="Report an alarm or something wrong" submit="Send the report">
            {systems.length > 1 ? <SelectField {...field('alarm', 'systemId')} label="System" choices={systems} /> : ''}
            <RadioField
              {...field('alarm', 'what')}
              label="What do you see or hear?"
              choices={[
                { value: 'alarm', words: 'The alarm sounds or its light shows' },
                { value: 'gauge-at-zero', words: 'The gauge stands at zero' },
                { value: 'noise', words: 'The fan is loud' },
                { value: 'water', words: 'Water in or at the pipe' },
                { value: 'other', words: 'Something else' },
              ]}
            />
            <Field {...field('alarm', 'since')} label="Since when" optional maxlength={100} />
            <Field {...field('alarm', 'note')} label="Anything we should know" rows={2} maxlength={2000} />
          </OneForm>
        </>
      )}
      <OneForm {...props} kind="moved" title="Say that you moved" submit="Send">
        <p>We then write to you no more about this home.</p>
        <DateField {...field('moved', 'on')} label="Since" optional />
        <Field {...field('moved', 'newOwner')} label="Name of the new owner" optional maxlength={200} />
        <Field {...field('moved', 'newEmail')} label="Their mail address" type="email" optional maxlength={200} />
      </OneForm>
      <MailsForm {...props} />
    </section>
  )
}

/** Without a system nothing can be asked about one. */
const wishes = (system: boolean) =>
  choicesFrom(visitWishWords).filter(({ value }) => system || (value !== 'gauge-check' && value !== 'callback'))

type OneProps = PropsWithChildren<FormsProps & { kind: ReportKind; title: string; submit: string }>
const OneForm = ({ kind, title, submit, link, csrf, formKey, back, children }: OneProps): JSX.Element => (
  <details open={back?.kind === kind}>
    <summary safe>{title}</summary>
    {link.linkId === '' ? (
      <p>Only the homeowner can send this form.</p>
    ) : (
      <Form
        action={paths.homeownerReport(link.linkId)}
        submit={submit}
        csrf={csrf}
        idempotencyKey={`${formKey}-${kind}`}
        faults={back?.kind === kind ? back.faults : []}
      >
        <input type="hidden" name="kind" value={kind} />
        {children}
      </Form>
    )}
  </details>
)

const MailsForm = ({ link, csrf, formKey }: FormsProps): JSX.Element => (
  <details>
    <summary>{link.mailsStopped ? 'Start the mails again' : 'Stop the mails'}</summary>
    <p>
      {link.mailsStopped
        ? 'The mails are stopped. Started again, they remind you when a test of your home is due.'
        : 'You would no longer be reminded when a test of your home is due.'}
    </p>
    {link.linkId === '' ? (
      ''
    ) : (
      <Form
        action={paths.homeownerMails(link.linkId)}
        submit={link.mailsStopped ? 'Start the mails' : 'Stop the mails'}
        csrf={csrf}
        idempotencyKey={`${formKey}-mails`}
      >
        <input type="hidden" name="wish" value={link.mailsStopped ? 'start' : 'stop'} />
      </Form>
    )}
  </details>
)
