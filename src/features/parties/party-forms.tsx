import type { LocalDay } from '../../domain/facts.ts'
import { choicesFrom, RadioField, SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { DateField, Field } from '../../web/field.tsx'
import { FieldGroup, Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import { PartyWords, partWords, WorkParties } from '../../web/work-parties.tsx'
import type { PartyRow, Work } from './queries.ts'

export type PartiesProps = {
  readonly work: Work
  readonly parties: readonly PartyRow[]
  readonly owner: { readonly id: string; readonly name: string } | null
  readonly people: readonly { readonly id: string; readonly name: string; readonly email: string | null }[]
  readonly today: LocalDay
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  readonly formKey: string
}

export const workHref = ({ subject, id }: Pick<Work, 'subject' | 'id'>): string => paths[subject](id)

/** Who ordered one piece of work, who pays, who may see its result: what is said, and saying more. */
export function PartiesView(props: PartiesProps): JSX.Element {
  const { work, parties } = props
  return (
    <>
      <p class="above">
        <a href={workHref(work)} safe>
          {`The ${work.subject} at ${work.address}`}
        </a>
      </p>
      <h1 safe>{`Who ordered this ${work.subject}, who pays, who may see`}</h1>
      <WorkParties {...props} />
      <AddForm {...props} />
      {parties.map(party => (
        <Change {...props} party={party} />
      ))}
    </>
  )
}

function AddForm({ work, people, typed, csrf, formKey, ...props }: PartiesProps): JSX.Element {
  const faults = props.faults.filter(({ name }) => !/^(lastOn|reason)-/.test(name))
  const field = (name: string) => ({ name, value: textIn(typed, name), faults })
  return (
    <section id="add">
      <h2>Say more</h2>
      <Form
        action={paths.workParties(work.subject, work.id)}
        submit="Add"
        csrf={csrf}
        idempotencyKey={formKey}
        faults={faults}
        cancel={{ href: workHref(work) }}
      >
        <RadioField {...field('part')} label="Part" choices={choicesFrom(partWords)} />
        {people.length > 0 ? (
          <SelectField
            {...field('customerId')}
            label="Who"
            choices={people.map(({ id, name, email }) => ({ value: id, words: email ? `${name}, ${email}` : name }))}
            empty="Somebody else"
          />
        ) : (
          ''
        )}
        <FieldGroup legend="Somebody else" hint="Somebody whose mail address is known already is taken from there.">
          <Field {...field('name')} label="Name" autocomplete="off" maxlength={200} optional />
          <Field {...field('email')} label="E-mail" type="email" autocomplete="off" optional />
          <Field {...field('phone')} label="Phone" type="tel" autocomplete="off" size="medium" optional />
        </FieldGroup>
        <DateField {...field('firstOn')} label="From" optional />
        <DateField {...field('lastOn')} label="Until the end of" optional />
      </Form>
    </section>
  )
}

/** The part's last day, or that it was a mistake; each form of a part has fields of its own name. */
function Change({ work, party, today, typed, faults, csrf }: PartiesProps & { party: PartyRow }): JSX.Element {
  const [lastOn, reason] = [`lastOn-${party.id.slice(-6)}`, `reason-${party.id.slice(-6)}`]
  const ofField = (field: string) => faults.filter(({ name }) => name === field)
  return (
    <details id={`party-${party.id}`} open={ofField(lastOn).length + ofField(reason).length > 0}>
      <summary>
        <span safe>{`Change: ${partWords[party.part]} ${party.name}`}</span>
      </summary>
      <p>
        <PartyWords party={party} today={today} />
      </p>
      <Form
        action={step(work, party, 'end')}
        submit="Set its last day"
        csrf={csrf}
        version={party.version}
        faults={ofField(lastOn)}
      >
        <DateField
          name={lastOn}
          label="Until the end of"
          value={lastOn in typed ? textIn(typed, lastOn) : 'today'}
          faults={faults}
        />
      </Form>
      <Form
        action={step(work, party, 'void')}
        submit="Take it back"
        csrf={csrf}
        version={party.version}
        faults={ofField(reason)}
        grave
      >
        <Field
          name={reason}
          label="Why it was a mistake"
          value={textIn(typed, reason)}
          maxlength={500}
          faults={faults}
        />
      </Form>
    </details>
  )
}

const step = (work: Work, party: PartyRow, name: string) => paths.workPartyStep(work.subject, work.id, party.id, name)
