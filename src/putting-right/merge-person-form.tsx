import type { LocalDay } from '../domain/facts.ts'
import type { Apart } from '../features/customers/apart-queries.ts'
import type { Customer } from '../features/customers/queries.ts'
import { RadioField } from '../web/choice-field.tsx'
import type { FieldFault } from '../web/error-summary.tsx'
import { Field } from '../web/field.tsx'
import { Form } from '../web/form.tsx'
import { paths } from '../web/paths.ts'
import { Table, Text } from '../web/table.tsx'
import { type TypedFields, textIn } from '../web/typed-fields.ts'
import { InstantText } from '../web/when-text.tsx'
import { type Detail, detailsOf } from './person-details.ts'

type Props = {
  readonly doubled: Customer
  readonly kept: Customer
  /** That they are two people, where the office said so. */
  readonly apart: Apart | null
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly country: string
  readonly zone: string
  readonly today: LocalDay
  readonly csrf: string
}

/** Two entries of one person side by side, and of what differs, which stays. */
export function MergePersonForm(props: Props): JSX.Element {
  const { doubled, kept, typed, faults, country, csrf } = props
  const details = detailsOf(kept, doubled, country)
  return (
    <>
      <h1>Make two entries one</h1>
      <p class="under-title">
        All that hangs on the entry that goes comes along: homes, work, kits, mails and links.{' '}
        <a href={paths.mergePerson(kept.id, doubled.id)}>Keep the other one instead</a>
      </p>
      <SaidApart {...props} />
      <Table
        caption="The two entries"
        columns={[{ words: 'Detail' }, { words: 'Entry that stays' }, { words: 'Entry that goes' }]}
        rows={[
          [
            <Text of="Entry" />,
            <a href={paths.person(kept.id)} safe>
              {kept.name}
            </a>,
            <a href={paths.person(doubled.id)} safe>
              {doubled.name}
            </a>,
          ],
          ...details.map(detail => [
            <Text of={detail.label} />,
            <Text of={detail.kept || '–'} />,
            <Text of={detail.other || '–'} />,
          ]),
        ]}
      />
      <Form
        action={paths.mergePerson(doubled.id)}
        submit="See what would change"
        csrf={csrf}
        faults={faults}
        cancel={{ href: paths.person(doubled.id) }}
      >
        <input type="hidden" name="with" value={kept.id} />
        {details
          .filter(({ field, kept, other }) => field !== null && kept !== other)
          .map(detail => (
            <Choice detail={detail} typed={typed} faults={faults} />
          ))}
        <Field
          name="reason"
          label="Why they are one"
          hint="It stays in the history: entered twice, from the old table"
          value={textIn(typed, 'reason')}
          maxlength={500}
          faults={faults}
          required
        />
      </Form>
    </>
  )
}

const SaidApart = ({ doubled, kept, apart, zone, today }: Props): JSX.Element =>
  apart ? (
    <p class="message">
      {'It was said that they are two people, '}
      <InstantText at={apart.saidAt} zone={zone} today={today} />
      <span safe>{`${apart.saidBy && ` by ${apart.saidBy}`}${apart.reason && `, because: ${apart.reason}`}. `}</span>
      <a href={paths.peopleApart(kept.id, doubled.id)}>Take it back</a>
    </p>
  ) : (
    <p>
      <a href={paths.peopleApart(kept.id, doubled.id)}>They are two people</a>
    </p>
  )

type ChoiceProps = { readonly detail: Detail; readonly typed: TypedFields; readonly faults: readonly FieldFault[] }
function Choice({ detail: { field, label, kept, other }, typed, faults }: ChoiceProps): JSX.Element {
  const name = field ?? ''
  const both = field === 'note' && kept !== '' && other !== ''
  const proposed = both ? 'both' : kept === '' ? 'other' : 'kept'
  return (
    <RadioField
      name={name}
      label={`${label} that stays`}
      value={textIn(typed, name) || proposed}
      choices={[
        { value: 'kept', words: kept || 'not known' },
        { value: 'other', words: other || 'not known' },
        ...(both ? [{ value: 'both', words: 'both, one after the other' }] : []),
      ]}
      faults={faults}
    />
  )
}
