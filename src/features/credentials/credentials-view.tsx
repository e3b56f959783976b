import { isLocalDay } from '../../domain/calendar/civil-day.ts'
import type { LocalDay } from '../../domain/facts.ts'
import { choicesFrom, SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { DateField, Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { Empty } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { Table, Text } from '../../web/table.tsx'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import { DueDay } from '../../web/when-text.tsx'
import type { Credential } from './queries.ts'

export type CredentialsProps = {
  readonly credentials: readonly Credential[]
  readonly holders: readonly { readonly id: string; readonly name: string }[]
  readonly today: LocalDay
  /** The one that is being changed, instead of a new one. */
  readonly changing: Credential | null
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  readonly formKey: string
}

export const kindWords = { licence: 'Licence', certificate: 'Certificate' } as const

/** Licences and certificates: the company's own, then its people's; below them one form. */
export const CredentialsView = (props: CredentialsProps): JSX.Element => (
  <article>
    <h1>Licences and certificates</h1>
    <p>
      Letters and papers print the company’s own as long as they hold. The ledger warns ahead of each expiry; how long
      ahead is set with the company.
    </p>
    {props.credentials.length === 0 ? (
      <Empty text="None is on record. Those of the company and of each technician stand here with their expiry." />
    ) : (
      <Table
        caption="On record, the company’s own first"
        quietCaption
        columns={[
          { words: 'Number' },
          { words: 'Kind' },
          { words: 'Whose' },
          { words: 'Issued by' },
          { words: 'Holds until' },
          { words: 'Change' },
        ]}
        rows={props.credentials.map(credential => [
          <Text of={credential.number} />,
          <Text of={kindWords[credential.kind]} />,
          <Text of={credential.holder ?? 'the company'} />,
          <Text of={credential.issuer || 'not known'} />,
          <Expiry day={credential.expiresOn} today={props.today} />,
          <a href={paths.credentials(credential.id)}>
            Change <span class="unseen" safe>{`${credential.number}`}</span>
          </a>,
        ])}
      />
    )}
    {props.changing ? <Changing {...props} credential={props.changing} /> : <New {...props} />}
  </article>
)

const Expiry = ({ day, today }: { day: LocalDay | null; today: LocalDay }): JSX.Element => {
  if (day === null) return <span class="unknown">not known</span>
  return day < today ? <Text of={`ran out on ${day}`} /> : <DueDay day={day} today={today} />
}

const New = ({ holders, typed, faults, csrf, formKey }: CredentialsProps): JSX.Element => (
  <section>
    <h2>Add one</h2>
    <Form action={paths.credentials()} submit="Add it" csrf={csrf} idempotencyKey={formKey} faults={faults}>
      <SelectField
        name="holder"
        label="Whose"
        empty="The company’s own"
        choices={holders.map(({ id, name }) => ({ value: id, words: name }))}
        value={textIn(typed, 'holder')}
        faults={faults}
      />
      <Fields typed={typed} faults={faults} />
    </Form>
  </section>
)

const Changing = (props: CredentialsProps & { credential: Credential }): JSX.Element => {
  const { credential, typed, faults, csrf } = props
  const step = (name: string) => paths.credentialStep(credential.id, name)
  const { id: _, version, ...kept } = credential
  const shown = 'number' in typed ? typed : { ...kept, expires: credential.expiresOn ?? '' }
  return (
    <section>
      <h2 safe>{`Change ${credential.number}, of ${credential.holder ?? 'the company'}`}</h2>
      <Form
        action={step('change')}
        submit="Save"
        csrf={csrf}
        version={version}
        faults={faults}
        cancel={{ href: paths.credentials() }}
      >
        <Fields typed={shown} faults={faults} />
      </Form>
      <h3>Take it out</h3>
      <Form action={step('void')} submit="Take it out" csrf={csrf} version={version} grave>
        <Field name="reason" label="Why" value={textIn(typed, 'reason')} faults={faults} />
      </Form>
    </section>
  )
}

const Fields = ({ typed, faults }: { typed: TypedFields; faults: readonly FieldFault[] }): JSX.Element => (
  <>
    <SelectField
      name="kind"
      label="Kind"
      choices={choicesFrom(kindWords)}
      value={textIn(typed, 'kind')}
      faults={faults}
    />
    <Field
      name="issuer"
      label="Issued by"
      hint="The state’s radon office, or the body that certifies."
      value={textIn(typed, 'issuer')}
      autocomplete="off"
      optional
      faults={faults}
    />
    <Field name="number" label="Number" value={textIn(typed, 'number')} autocomplete="off" faults={faults} />
    <DateField
      name="expires"
      label="Holds until"
      hint={isLocalDay(textIn(typed, 'expires')) ? undefined : 'The last day it holds, like 12 May 2027 or 2027-05-12'}
      value={textIn(typed, 'expires')}
      optional
      faults={faults}
    />
  </>
)
