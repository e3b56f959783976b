import { CheckField, RadioField, SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { FieldGroup, Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'

export type PersonTyped = Readonly<Record<string, unknown>>
type PersonFormProps = {
  readonly typed: PersonTyped
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  /** For a new person. */
  readonly formKey?: string
  /** For a correction: whom, and the version the form was filled from. */
  readonly existing?: { readonly id: string; readonly version: number }
}

const text = (typed: PersonTyped, name: string): string => (typeof typed[name] === 'string' ? typed[name] : '')

/** Takes up or corrects a person or company. */
export function PersonForm({ typed, faults, csrf, formKey, existing }: PersonFormProps): JSX.Element {
  const field = (name: string) => ({ name, value: text(typed, name), faults })
  return (
    <Form
      action={existing ? paths.changePerson(existing.id) : paths.newPerson()}
      submit={existing ? 'Save the correction' : 'Add'}
      csrf={csrf}
      idempotencyKey={formKey}
      version={existing?.version}
      faults={faults}
      draft={existing ? `person-${existing.id}` : 'person-new'}
      cancel={{ href: existing ? paths.person(existing.id) : paths.people() }}
    >
      <RadioField
        {...field('kind')}
        value={text(typed, 'kind') || 'person'}
        label="Is"
        choices={[
          { value: 'person', words: 'a person' },
          { value: 'company', words: 'a company' },
        ]}
      />
      <Field {...field('name')} label="Name" autocomplete="name" maxlength={200} />
      <FieldGroup legend="How to reach them">
        <Field {...field('phone')} label="Phone" type="tel" autocomplete="tel" optional size="medium" />
        <Field {...field('email')} label="E-mail" type="email" autocomplete="email" optional />
        <SelectField
          {...field('preferredChannel')}
          label="Prefers"
          empty="no preference known"
          choices={[
            { value: 'email', words: 'e-mail' },
            { value: 'phone', words: 'phone' },
            { value: 'letter', words: 'letter' },
          ]}
        />
        <Field
          {...field('language')}
          label="Speaks"
          hint="As a tag: en, es or fr-CA. English where nothing is said"
          size="short"
          optional
        />
      </FieldGroup>
      <FieldGroup legend="Postal address" hint="Only where it differs from the home.">
        <Field {...field('street')} label="Street" autocomplete="address-line1" maxlength={200} />
        <Field {...field('city')} label="Town" autocomplete="address-level2" maxlength={100} />
        <Field {...field('region')} label="State or province" autocomplete="address-level1" size="medium" />
        <Field {...field('postcode')} label="Postcode" autocomplete="postal-code" size="short" />
        <Field {...field('country')} label="Country" hint="Two capitals, like US" size="short" maxlength={2} />
      </FieldGroup>
      <Field {...field('note')} label="Note" rows={3} maxlength={4000} />
      {existing ? (
        <CheckField
          name="mailsStopped"
          label="Reminders by mail"
          values={typed.mailsStopped === 'yes' ? ['yes'] : []}
          choices={[{ value: 'yes', words: 'Stopped: they want none' }]}
        />
      ) : (
        ''
      )}
      {existing ? (
        <Field
          {...field('reason')}
          label="Why it changes"
          hint="Kept with the old values, like: new number"
          maxlength={500}
        />
      ) : (
        ''
      )}
    </Form>
  )
}
