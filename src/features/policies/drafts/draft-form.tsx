import { CheckField, SelectField } from '../../../web/choice-field.tsx'
import type { FieldFault } from '../../../web/error-summary.tsx'
import { Field } from '../../../web/field.tsx'
import { FieldGroup, Form } from '../../../web/form.tsx'
import { paths } from '../../../web/paths.ts'
import { type TypedFields, textIn } from '../../../web/typed-fields.ts'
import { type DraftField, type FieldSection, gasUnits, typedAs } from './draft-fields.ts'

type Props = {
  readonly action: string
  readonly submit: string
  readonly sections: readonly FieldSection[]
  /** What stands in the fields: as typed, or as a draft says it. */
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  readonly cancel: string
} & ({ readonly formKey: string } | { readonly version: number })

/** A rule set's numbers to be written over, from which day, and where the change stands. */
export function DraftForm(props: Props): JSX.Element {
  const { action, submit, sections, typed, faults, csrf, cancel } = props
  const text = (name: string) => textIn(typed, name)
  const shownIn = (field: DraftField) =>
    Object.hasOwn(typed, field.name) ? text(field.name) : typedAs(field, field.now)
  const once = 'formKey' in props ? { idempotencyKey: props.formKey } : { version: props.version }
  return (
    <Form {...{ action, submit, csrf, faults, ...once }} cancel={{ href: cancel }}>
      <Field
        name="from"
        label="Holds from"
        hint="A day, such as 1 January 2027. A test is judged by the law of the day it ended; what is owed, by the law of today."
        value={text('from')}
        size="medium"
        faults={faults}
      />
      <FieldGroup legend="Where the change stands" hint="Everybody who is shown the changed rule reads this beside it.">
        <Field name="source" label="Law, ordinance or standard" value={text('source')} faults={faults} />
        <Field
          name="year"
          label="Its year"
          inputmode="numeric"
          size="short"
          optional
          value={text('year')}
          faults={faults}
        />
        <Field name="clause" label="Clause" value={text('clause')} size="medium" faults={faults} />
        <CheckField
          name="read"
          label="Was it read there?"
          hint="Otherwise the rule is marked unverified wherever it decides something."
          choices={[{ value: 'yes', words: 'I have read it in the document itself' }]}
          values={text('read') === 'yes' ? ['yes'] : []}
          faults={faults}
        />
        <Field name="reason" label="Why this draft" optional value={text('reason')} rows={2} faults={faults} />
      </FieldGroup>
      {sections.map(({ title, fields }, n) => (
        <details
          class="rule-fields"
          open={n === 0 || fields.some(field => shownIn(field) !== typedAs(field, field.now))}
        >
          <summary safe>{title}</summary>
          {fields.map(field => (
            <RuleField field={field} value={shownIn(field)} faults={faults} />
          ))}
        </details>
      ))}
    </Form>
  )
}

const choices: Readonly<Partial<Record<DraftField['kind'], readonly { value: string; words: string }[]>>> = {
  unit: gasUnits.map(unit => ({ value: unit, words: unit.replace('m3', 'm³') })),
  operator: [
    { value: '>=', words: 'at this value or above it' },
    { value: '>', words: 'above this value only' },
  ],
  yes: [
    { value: 'true', words: 'yes' },
    { value: 'false', words: 'no' },
  ],
}

function RuleField({ field, value, faults }: { field: DraftField; value: string; faults: readonly FieldFault[] }) {
  const { name, label, kind, now, unit } = field
  const offered =
    kind === 'rounding'
      ? [
          { value: now, words: now },
          { value: 'none', words: 'no rounding' },
        ]
      : choices[kind]
  if (offered) return <SelectField {...{ name, label, value, faults }} choices={offered} />
  const hint = value === typedAs(field, now) ? undefined : `Now: ${typedAs(field, now)}`
  return (
    <Field
      {...{ name, label, value, faults, hint, unit }}
      size="short"
      inputmode={kind === 'number' ? 'decimal' : 'text'}
    />
  )
}

/** Which rule set is to change. */
export const ChooseRuleSet = ({ sets }: { sets: readonly { code: string; title: string }[] }): JSX.Element => (
  <form action={paths.newRuleDraft('')} method="get">
    <SelectField
      name="code"
      label="Rule set"
      choices={sets.map(({ code, title }) => ({ value: code, words: title }))}
    />
    <div class="actions">
      <button type="submit" class="primary">
        Draft a change
      </button>
    </div>
  </form>
)
