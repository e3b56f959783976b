import type { LocalDay } from '../../domain/facts.ts'
import { attributeText } from '../../web/attribute-text.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import { InstantText } from '../../web/when-text.tsx'
import { writtenNumber } from '../../web/written-number.ts'
import { type Apart, otherOf } from './apart-queries.ts'
import type { Customer } from './queries.ts'

type When = { readonly zone: string; readonly today: LocalDay }

/** `Tue 12 May 2026 by Nora Vance, because: a couple with one phone`. */
export const SaidWords = ({ said, zone, today }: When & { readonly said: Apart }): JSX.Element => (
  <>
    <InstantText at={said.saidAt} zone={zone} today={today} />
    <span safe>{`${said.saidBy && ` by ${said.saidBy}`}${said.reason && `, because: ${said.reason}`}`}</span>
  </>
)

/** On somebody's page: who looks like them and is somebody else. */
export const ApartNotes = (
  props: When & { readonly id: string; readonly apart: readonly Apart[]; readonly mayChange: boolean },
): JSX.Element => (
  <>
    {props.apart.map(said => {
      const other = otherOf(said, props.id)
      return (
        <p class="note">
          {'Not the same as '}
          <a href={paths.person(other.id)} safe>
            {other.name}
          </a>
          {': two people, said '}
          <SaidWords {...{ said, zone: props.zone, today: props.today }} />
          {'. '}
          {props.mayChange ? <a href={paths.peopleApart(props.id, other.id)}>Take it back</a> : ''}
        </p>
      )
    })}
  </>
)

/** A pair in the list of those that were told apart. */
export const ApartPair = ({ said, zone, today }: When & { readonly said: Apart }): JSX.Element => (
  <>
    <p>
      <a href={paths.person(said.oneId)} safe>
        {said.oneName}
      </a>
      {' and '}
      <a href={paths.person(said.otherId)} safe>
        {said.otherName}
      </a>
    </p>
    <p class="small">
      {'Said '}
      <SaidWords {...{ said, zone, today }} />
    </p>
    <p>
      <a href={paths.peopleApart(said.oneId, said.otherId, 'list')}>Take it back</a>
    </p>
  </>
)

type FormProps = {
  readonly one: Customer
  readonly other: Customer
  readonly from: 'list' | undefined
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
}
const backFrom = ({ from, one }: FormProps) => ({ href: from ? paths.doubledPeople() : paths.person(one.id) })
const About = ({ other, from }: FormProps): JSX.Element => (
  <>
    <input type="hidden" name="with" value={attributeText(other.id)} />
    {from ? <input type="hidden" name="from" value={attributeText(from)} /> : ''}
  </>
)

/** Says that two entries are two people. */
export const ApartForm = (props: FormProps & { readonly country: string }): JSX.Element => (
  <>
    <h1>They are two people</h1>
    <ul class="ruled">
      {[props.one, props.other].map(({ id, name, phone, email, city }) => (
        <li>
          <a href={paths.person(id)} safe>
            {name}
          </a>
          <span safe>
            {[phone && writtenNumber(phone, props.country), email, city]
              .map(known => (known ? `, ${known}` : ''))
              .join('')}
          </span>
        </li>
      ))}
    </ul>
    <p>
      {'Both entries stay as they are, and the two are not suggested as one any more. '}
      <a href={paths.mergePerson(props.other.id, props.one.id)}>They are one person after all</a>
    </p>
    <Form
      action={paths.peopleApart(props.one.id)}
      submit="They are two people"
      csrf={props.csrf}
      faults={props.faults}
      cancel={backFrom(props)}
    >
      <About {...props} />
      <Field
        name="reason"
        label="How that is known"
        hint="A couple with one phone, father and son of one name"
        value={textIn(props.typed, 'reason')}
        maxlength={500}
        faults={props.faults}
        optional
      />
    </Form>
  </>
)

/** Takes back that they are two. */
export const TakeBackForm = (props: FormProps & When & { readonly said: Apart }): JSX.Element => (
  <>
    <h1>Two people</h1>
    <p safe>{`${props.one.name} and ${props.other.name} are two people.`}</p>
    <p>
      {'Said '}
      <SaidWords {...props} />
    </p>
    <Form
      action={paths.peopleApart(props.one.id)}
      submit="Take it back"
      csrf={props.csrf}
      faults={props.faults}
      cancel={backFrom(props)}
    >
      <About {...props} />
      <input type="hidden" name="take-back" value="yes" />
      <p>They are suggested as one again as long as they look like it.</p>
    </Form>
  </>
)
