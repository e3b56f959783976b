import type { Hit } from '../features/search/search-homes.ts'
import { RadioField } from '../web/choice-field.tsx'
import type { FieldFault } from '../web/error-summary.tsx'
import { Field } from '../web/field.tsx'
import { Form } from '../web/form.tsx'
import { paths } from '../web/paths.ts'
import { type TypedFields, textIn } from '../web/typed-fields.ts'
import type { RecordToPutRight } from './record-to-put-right.ts'

type Props = {
  readonly step: 'move' | 'merge'
  readonly noun: string
  readonly id: string
  readonly record: RecordToPutRight
  readonly q: string
  readonly homes: readonly Hit[]
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
}

const words = {
  move: {
    title: 'Move to another home',
    find: 'The home it belongs to',
    choose: 'Move it to',
    why: 'Why it is moved',
    hint: 'It stays in the history: entered for the neighbour',
  },
  merge: {
    title: 'Merge into the other entry',
    find: 'The entry that stays',
    choose: 'Merge it into',
    why: 'Why they are one',
    hint: 'It stays in the history: taken up twice from the old book',
  },
} as const
export const intoTitle = (step: Props['step']): string => words[step].title

/** Which home it goes to, and why it stood at another. */
export function MoveForm(props: Props): JSX.Element {
  const { step, noun, id, record, q, homes, typed, faults, csrf } = props
  return (
    <>
      <h1 safe>{words[step].title}</h1>
      <p class="under-title" safe>
        {step === 'merge' ? record.address : `${record.subject}, now at ${record.address}`}
      </p>
      <form action={paths.putRightStep(noun, id, step)} method="get" role="search" aria-label="Other homes">
        <Field name="q" label={words[step].find} hint="Address, owner, phone or tag" value={q} type="search" />
        <div class="actions">
          <button type="submit">Find the home</button>
        </div>
      </form>
      {q && homes.length === 0 ? <p role="status">No other home answers to that.</p> : ''}
      {homes.length > 0 ? (
        <Form
          action={paths.putRightStep(noun, id, step)}
          submit="See what would change"
          csrf={csrf}
          faults={faults}
          cancel={{ href: paths.putRight(noun, id) }}
        >
          <input type="hidden" name="q" value={q} />
          <RadioField
            name="intoId"
            label={words[step].choose}
            value={textIn(typed, 'intoId') || (homes.length === 1 ? homes[0]!.propertyId : '')}
            choices={homes.map(home => ({ value: home.propertyId, words: addressOf(home) }))}
            faults={faults}
          />
          <Field
            name="reason"
            label={words[step].why}
            hint={words[step].hint}
            value={textIn(typed, 'reason')}
            maxlength={500}
            faults={faults}
            required
          />
        </Form>
      ) : (
        ''
      )}
    </>
  )
}

const addressOf = ({ street, unit, city, postcode }: Hit): string =>
  [[street, unit].filter(Boolean).join(' '), city, postcode].filter(Boolean).join(', ')
